"""Head and foot of the pages from what is known of the job."""

from teewright.web.office import Known
from teewright.web.render import Frame
from teewright.web.texts import text


def frame_of(
    known: Known, room: str, answer: str, crumbs: tuple[tuple[str, str], ...] = ()
) -> Frame:
    """Head and foot of one page.

    Args:
        known: What is known.
        room: Which question the page answers.
        answer: The answer, one short sentence.
        crumbs: Places above this one, below the job.
    """
    site = known.loaded.site if known.loaded else None
    return Frame(
        room=room,
        answer=answer,
        crumbs=((text("common.rooms.job"), "/"), *crumbs) if crumbs else (),
        title=site.title if site else "",
        place=site.place if site else "",
        fingerprint=known.inputs.fingerprint[:8] if known.inputs.surveys else "",
        read=known.loaded is not None,
        changed=known.changed,
        invented=bool(site and (site.invented or (known.loaded and known.loaded.kit.invented))),
    )
