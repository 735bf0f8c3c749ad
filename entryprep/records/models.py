"""The models of all records, by the word that names the record."""

from __future__ import annotations

from entryprep.reading.fields import Record
from entryprep.records.batch import Batch
from entryprep.records.brewer import Brewer
from entryprep.records.competition import Competition
from entryprep.records.entry import EntryList

RECORD_MODELS: dict[str, type[Record]] = {
    "brewer": Brewer,
    "batch": Batch,
    "competition": Competition,
    "entries": EntryList,
}
