"""A case for another system, and from one: HL7 FHIR R4, one document Bundle a case."""
