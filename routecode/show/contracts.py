"""All JSON documents that the tool prints, in one list: for whoever makes their schemas. No command needs it."""

from routecode.show.branches_shapes import BEFORE_MERGE
from routecode.show.documents import CHECK, DIFF, PATHS, ROLLBACK, RULES, TRACE, UNDO
from routecode.show.history_shapes import HISTORY
from routecode.show.jobsheet_shapes import JOBSHEET
from routecode.show.labels_document import LABELS
from routecode.show.parts_document import PARTS
from routecode.show.schedule_document import CABLES
from routecode.show.story_shapes import STORY

DOCUMENTS = (
    *(CHECK, PATHS, TRACE, RULES, DIFF, UNDO, HISTORY, BEFORE_MERGE, STORY, ROLLBACK),
    *(LABELS, CABLES, PARTS, JOBSHEET),
)
