"""HL7's own definitions of FHIR R4, cut down to the resources that are exchanged."""
