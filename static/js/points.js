// Three points on a still picture: clicked, moved by keys, or typed. The picture never leaves the browser; only the
// numbers in the fields are sent, and the server computes the angle.
"use strict";

const setUp = (moment) => {
  const canvas = moment.querySelector("canvas");
  const status = moment.querySelector("[data-status]");
  const places = [...moment.querySelectorAll("[data-place]")].map((row) => {
    const [x, y] = row.querySelectorAll("input");
    return { name: row.dataset.place, x, y };
  });
  let picture = null;
  let current = 0;

  const isSet = (place) => place.x.value !== "" && place.y.value !== "";
  const at = (place) => [Number(place.x.value), Number(place.y.value)];

  const tell = () => {
    const open = places.find((place) => !isSet(place));
    status.textContent = open ? `${moment.dataset.next} ${open.name}` : moment.dataset.all;
  };

  const draw = () => {
    if (!picture) return;
    const pen = canvas.getContext("2d");
    const unit = canvas.width / 320;
    const look = getComputedStyle(canvas);
    pen.drawImage(picture, 0, 0, canvas.width, canvas.height);
    const set = places.filter(isSet);
    [[look.backgroundColor, 4], [look.color, 2]].forEach(([color, width]) => {
      pen.strokeStyle = color;
      pen.lineWidth = width * unit;
      pen.beginPath();
      set.forEach((place) => pen.lineTo(...at(place)));
      pen.stroke();
    });
    set.forEach((place) => {
      const number = places.indexOf(place);
      pen.fillStyle = number === current ? look.color : look.backgroundColor;
      pen.strokeStyle = look.color;
      pen.beginPath();
      pen.arc(...at(place), 5 * unit, 0, 2 * Math.PI);
      pen.fill();
      pen.stroke();
      pen.fillStyle = number === current ? look.backgroundColor : look.color;
      pen.font = `600 ${8 * unit}px sans-serif`;
      pen.textAlign = "center";
      pen.textBaseline = "middle";
      pen.fillText(number + 1, ...at(place));
    });
    tell();
  };

  const put = (place, x, y) => {
    place.x.value = Math.min(Math.max(Math.round(x), 0), canvas.width - 1);
    place.y.value = Math.min(Math.max(Math.round(y), 0), canvas.height - 1);
    place.x.dispatchEvent(new Event("input", { bubbles: true }));
  };

  moment.querySelector("[type=file]").addEventListener("change", async (event) => {
    const [file] = event.target.files;
    if (!file) return;
    try {
      picture = await createImageBitmap(file);
    } catch {
      status.textContent = moment.dataset.unreadable;
      return;
    }
    [canvas.width, canvas.height, canvas.hidden] = [picture.width, picture.height, false];
    current = Math.max(0, places.findIndex((place) => !isSet(place)));
    draw();
    canvas.focus();
  });

  canvas.addEventListener("click", (event) => {
    const frame = canvas.getBoundingClientRect();
    const scale = canvas.width / frame.width;
    put(places[current], (event.clientX - frame.left) * scale, (event.clientY - frame.top) * scale);
    const open = places.findIndex((place) => !isSet(place));
    if (open >= 0) current = open;
    draw();
  });

  const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
  canvas.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const arrow = ARROWS[event.key];
    const chosen = ["1", "2", "3"].indexOf(event.key);
    if (!arrow && chosen < 0) return;
    event.preventDefault();
    if (chosen >= 0) current = chosen;
    const place = places[current];
    const [x, y] = isSet(place) ? at(place) : [canvas.width / 2, canvas.height / 2];
    const step = Math.max(1, Math.round(canvas.width / 640)) * (event.shiftKey ? 10 : 1);
    const [right, down] = arrow ?? [0, 0];
    put(place, x + right * step, y + down * step);
    draw();
    status.textContent = `${place.name}: ${place.x.value}, ${place.y.value}`;
  });

  moment.addEventListener("input", draw);
  moment.querySelector("[data-picture]").hidden = false;
};

document.querySelectorAll("[data-points]").forEach(setUp);
