"""The audit of generated questions: guidelines, checks of one item, looks at many, the result."""

from trainer.core.scenarios.audit.item import item_findings
from trainer.core.scenarios.audit.knowledge import right_texts
from trainer.core.scenarios.audit.result import AuditResult, Finding
from trainer.core.scenarios.audit.run import audit, examine, settle

__all__ = [
    "AuditResult",
    "Finding",
    "audit",
    "examine",
    "item_findings",
    "right_texts",
    "settle",
]
