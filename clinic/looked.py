"""What somebody looked at before they pressed a button that can't be taken back.

The page carries a stamp of it. When somebody else has changed it meanwhile, nothing is signed, issued,
decided or thrown away unseen: the person looks once more.
"""

from collections.abc import Mapping

from django.http import HttpRequest

from clinic.forms import stamp


def changed_since(request: HttpRequest, values: Mapping[str, object]) -> bool:
    """Whether what is there now differs from what the page showed, whose hidden field `seen` is its stamp.

    A request without it comes from no page, and nobody has looked at anything.
    """
    sent = request.POST.get("seen")
    return sent is not None and sent != stamp(values)
