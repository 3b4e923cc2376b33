"""The questionnaires that can be scored. Items are numbers: the wording is not ours."""
