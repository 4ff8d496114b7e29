"""How much of a room's air a spilt or brushed-on solvent becomes."""

from trainer.core.knowledge.quantity import L_IN_M3, MOLAR_VOLUME_L, PARTS_IN_A_MILLION


def vapour_ppm(
    volume_ml: float, density_g_per_ml: float, molar_mass_g: float, room_m3: float
) -> float:
    """Share of the air [ppm by volume] once all of a solvent has dried in a closed room at 25 °C.

    ppm = (volume x density / molar mass x molar volume) / room x 10^6: the ideal gas law, even
    mixing, no air change. Real air near the open bottle holds more. Raises ValueError for any
    figure not above 0.
    """
    for figure in (volume_ml, density_g_per_ml, molar_mass_g, room_m3):
        if not figure > 0:
            raise ValueError(f"{figure} is not above 0")
    moles = volume_ml * density_g_per_ml / molar_mass_g
    return moles * MOLAR_VOLUME_L / (room_m3 * L_IN_M3) * PARTS_IN_A_MILLION
