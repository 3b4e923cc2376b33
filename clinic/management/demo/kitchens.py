"""Patients of the demo: cooks and gardeners."""

from dataclasses import replace

from clinic.management.demo import load
from clinic.management.demo.load import told
from clinic.management.demo.story import ROAD, Flag, Further, Person, Story, lower_road, road

COOK = Story(
    person=Person(given="", family="", age=40, sex="female", tail=0),
    job="cook",
    provoked=("gripping", "lifting", "wringing"),
    told=told(load.KITCHEN),
    kg=30,
    loads=((3, 1.5), (4, 2.2)),
)
GARDENER = replace(
    COOK,
    job="gardener",
    provoked=("gripping", "tools", "lifting"),
    told=told(load.GARDEN),
    kg=44,
    loads=((3, 3), (4, 4.5)),
)

KITCHENS = (
    replace(  # in Spanish; stage 2, settled
        COOK,
        person=Person(
            given="Yolanda",
            family="Buenaventura Ríos",
            age=37,
            sex="female",
            tail=12,
            language="es",
        ),
        words="Lifting the pans with the arm stretched out.",
        wants=("lift a full pan", "knead dough", "carry crates"),
        further=Further(
            points=(("epicondyle", 4), ("distal-anterior", 6)),
            lifts=(("chair-lift", 6), ("cup-lift", 5)),
        ),
        contacts=road(4),
        last=5,
        since="settled",
        booked=2,
    ),
    replace(  # stage 3
        COOK,
        person=Person(given="Δήμητρα", family="Καλλιγά", age=45, sex="female", tail=13),
        words="Whisking and stirring thick dough, since the summer season.",
        wants=("whisk by hand", "stir the big pot", "chop for an hour"),
        contacts=road(8),
        last=6,
        since="settled",
        booked=1,
    ),
    replace(  # stage 4, to watch
        COOK,
        person=Person(given="Basil", family="Thornquist", age=33, sex="male", tail=14),
        words="Flipping pans at the stove, right side only.",
        wants=("work a full service", "lift the stock pot", "climb again"),
        kg=48,
        loads=((3, 3.0), (4, 4.0)),
        light_job=True,
        contacts=road(10),
        last=7,
        since="watch",
        booked=0,
    ),
    replace(  # over 65, large print
        GARDENER,
        person=Person(
            given="Marguerite", family="Fontanel", age=72, sex="female", tail=15, print_size="large"
        ),
        words="Pruning roses did it. I want to be ready for the spring.",
        wants=("prune the roses", "lift the kettle", "do up buttons"),
        kg=22,
        nights=0,
        prtee=24,
        contacts=lower_road(1),
        last=5,
        since="settled",
        booked=3,
    ),
    replace(  # too little done to judge
        COOK,
        person=Person(given="Nuno", family="Alcoforado", age=29, sex="male", tail=16),
        words="Two jobs, no time. It hurts with every crate.",
        wants=("carry crates", "knead dough", "ride the bike"),
        kg=45,
        contacts=road(4, last="few"),
        last=9,
        since="few",
        booked=5,
    ),
    replace(  # a steroid injection five weeks ago
        GARDENER,
        person=Person(given="Fenella", family="Rookhope", age=48, sex="female", tail=17),
        words="Better for two weeks after the injection, then back again.",
        wants=("dig a bed", "carry a watering can", "play the piano"),
        signs=(("chair-sign", "", "absent"), ("push-up-sign", "", "absent")),
        kg=29,
        flags=(Flag("steroid-injection", note="one, into this elbow, by the family doctor"),),
        injected_days_ago=35,
        contacts=road(2),
        last=8,
        since="settled",
        booked=6,
    ),
    replace(  # in Spanish, large print, overdue and not booked
        COOK,
        person=Person(
            given="María Inmaculada",
            family="Etxebarrieta",
            age=66,
            sex="female",
            tail=18,
            language="es",
            print_size="large",
        ),
        words="Peeling and wringing out cloths.",
        wants=("peel potatoes", "wring out a cloth", "carry my grandson"),
        kg=23,
        contacts=road(3),
        last=20,
    ),
    replace(  # two bad sessions and two bad nights: one stage back
        GARDENER,
        person=Person(given="Ambrose", family="Quillfeather", age=57, sex="male", tail=19),
        words="Worse with the hedge trimmer.",
        wants=("cut the hedge", "dig a bed", "play bowls"),
        contacts=road(5),
        last=9,
        draft=replace(
            ROAD[5], diary="setback", pains=replace(ROAD[5].pains, worst=7, rest=2), ratio=0.55
        ),
        booked=0,
        status_today="arrived",
    ),
    replace(  # new, not screened yet
        COOK,
        person=Person(given="Eluned", family="Marchbanks", age=31, sex="female", tail=20),
        weeks_before=5,
        intake=False,
        screened=False,
        last=2,
        booked=1,
    ),
    replace(  # declined
        GARDENER,
        person=Person(given="Hallvard", family="Brekkestø", age=60, sex="male", tail=21),
        words="It comes and goes. I only want to know what it is.",
        contacts=road(1),
        last=40,
        closed=("declined", "prefers to wait and see; knows that he may come back"),
    ),
    replace(  # stage 5, lifting crates again
        COOK,
        person=Person(given="Zsófia", family="Őrhegyi", age=39, sex="female", tail=22),
        words="The whole left arm gets tired, but the pain is on the outside.",
        side="left",
        wants=("lift a full pan", "carry crates", "knead dough"),
        contacts=road(13),
        last=10,
        since="settled",
        booked=4,
    ),
)
