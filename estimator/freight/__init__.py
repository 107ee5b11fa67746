"""Takes: what is ordered, with its masses.

Gives: the shipped mass and the freight charge of its zone.
May not: know the prices of parts.
"""

from estimator.freight.charge import charge_freight as charge_freight
from estimator.freight.charge import falling_step as falling_step
from estimator.freight.charge import least_freight as least_freight
from estimator.freight.charge import no_freight as no_freight
from estimator.freight.records import FreightCharge as FreightCharge
