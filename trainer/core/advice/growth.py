"""What time does to an attachment: growth away from the scalp, and shed hair that it holds."""

from trainer.core.knowledge.quantity import MM_IN_UM


def grown_mm(days: float, rate_um_per_day: float) -> float:
    """Distance [mm] that an attachment has moved from the scalp: rate x days.

    days >= 0; rate in µm a day. Rates: Loussouarn and colleagues, see fact
    hair.growth_um_per_day.
    """
    _not_negative(days=days, rate_um_per_day=rate_um_per_day)
    return rate_um_per_day * days * MM_IN_UM


def shed(days: float, per_day: float) -> float:
    """Hairs shed over the whole head: per day x days (American Academy of Dermatology's range,
    fact hair.shed_per_day)."""
    _not_negative(days=days, per_day=per_day)
    return per_day * days


def shed_in_section(hairs: float, per_day: float, days: float, whole_head: float) -> float:
    """Hairs of one section that have shed and are held in its attachment.

    hairs x per_day / whole_head x days, even shedding assumed; whole_head > 0 hairs.
    """
    _not_negative(hairs=hairs, per_day=per_day, days=days)
    if whole_head <= 0:
        raise ValueError(f"{whole_head=}")
    return hairs * per_day / whole_head * days


def _not_negative(**values: float) -> None:
    for name, value in values.items():
        if value < 0:
            raise ValueError(f"{name}={value} is below 0")
