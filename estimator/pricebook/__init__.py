"""Takes: nothing but its own records.

Gives: what can be bought, at what price, by which rules, and look-ups in them.
May not: read files, know a job's geometry, or compute a price.
"""

from estimator.pricebook.locale import (
    POINTS as POINTS,
)
from estimator.pricebook.locale import (
    BookLocale as BookLocale,
)
from estimator.pricebook.lookups import (
    clamps_for as clamps_for,
)
from estimator.pricebook.lookups import (
    lead_time_of as lead_time_of,
)
from estimator.pricebook.lookups import (
    part_for_role as part_for_role,
)
from estimator.pricebook.lookups import (
    rails_for as rails_for,
)
from estimator.pricebook.lookups import (
    splice_for as splice_for,
)
from estimator.pricebook.quote_terms import (
    NO_TERMS as NO_TERMS,
)
from estimator.pricebook.quote_terms import (
    QuoteTerms as QuoteTerms,
)
from estimator.pricebook.records import (
    KNOWN_ROLES as KNOWN_ROLES,
)
from estimator.pricebook.records import (
    STRUCTURAL_ROLES as STRUCTURAL_ROLES,
)
from estimator.pricebook.records import (
    AssemblyRule as AssemblyRule,
)
from estimator.pricebook.records import (
    BarStock as BarStock,
)
from estimator.pricebook.records import (
    Basis as Basis,
)
from estimator.pricebook.records import (
    Book as Book,
)
from estimator.pricebook.records import (
    Bracket as Bracket,
)
from estimator.pricebook.records import (
    Clamp as Clamp,
)
from estimator.pricebook.records import (
    Condition as Condition,
)
from estimator.pricebook.records import (
    Defaults as Defaults,
)
from estimator.pricebook.records import (
    FreightRate as FreightRate,
)
from estimator.pricebook.records import (
    LabourActivity as LabourActivity,
)
from estimator.pricebook.records import (
    Logo as Logo,
)
from estimator.pricebook.records import (
    Part as Part,
)
from estimator.pricebook.records import (
    PriceBreak as PriceBreak,
)
from estimator.pricebook.records import (
    Rail as Rail,
)
from estimator.pricebook.records import (
    Range as Range,
)
from estimator.pricebook.records import (
    ScrewJoint as ScrewJoint,
)
from estimator.pricebook.records import (
    Seller as Seller,
)
from estimator.pricebook.records import (
    SpareRule as SpareRule,
)
from estimator.pricebook.records import (
    Splice as Splice,
)
from estimator.pricebook.records import (
    StrengthTest as StrengthTest,
)
from estimator.pricebook.records import (
    Supplier as Supplier,
)
from estimator.pricebook.tax import (
    Tax as Tax,
)
from estimator.pricebook.tax import (
    TaxRule as TaxRule,
)
