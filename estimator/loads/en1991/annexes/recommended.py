"""What the standards themselves recommend where a nation may choose.

Source: EN 1990:2002 Tables A1.1 and A1.2(B) [found], A1.2(A) [from memory]; EN 1991-1-4:2005 4.2(2), 4.3.3, 4.4 and 4.5
[found]; EN 1991-1-3:2003 Table 5.1 [found].
"""

from estimator.loads.en1991.annexes.records import NationalNumbers, PartialFactors, WindParameters

RECOMMENDED = NationalNumbers(
    wind=WindParameters(cdir=1.0, cseason=1.0, co=1.0, turbulence=1.0, rho=1.25),
    partial=PartialFactors(
        gamma_g_sup=1.35,
        gamma_g_inf=1.0,
        gamma_g_sup_equ=1.1,
        gamma_g_inf_equ=0.9,
        gamma_q=1.5,
        psi_0_wind=0.6,
        psi_0_snow=0.5,
    ),
    high_altitude_mm=1_000_000.0,
    psi_0_snow_high=0.7,
    exposure={"windswept": 0.8, "normal": 1.0, "sheltered": 1.2},
)
