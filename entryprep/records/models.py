"""The models of all records, by name."""

from __future__ import annotations

from entryprep.records.batch import *
from entryprep.records.brewer import *
from entryprep.records.competition import *
from entryprep.records.entry import *
from entryprep.records.fields import *
from entryprep.records.vitalsrecord import *
from entryprep.records.words import *

RECORD_MODELS: dict[str, type[Record]] = {
    "brewer": Brewer,
    "batch": Batch,
    "competition": Competition,
    "entries": EntryList,
}
