"""The tables. They hold columns only: what a row means is the service's affair.

Every row but the organisations' own belongs to one organisation, and every look-up names it.
"""

from estimator.storage.tables.base import WHO_KINDS as WHO_KINDS
from estimator.storage.tables.base import Base as Base
from estimator.storage.tables.editions import EditionStandingRow as EditionStandingRow
from estimator.storage.tables.editions import PriceListColumnsRow as PriceListColumnsRow
from estimator.storage.tables.editions import SeenEditionRow as SeenEditionRow
from estimator.storage.tables.editions import UploadedEditionRow as UploadedEditionRow
from estimator.storage.tables.editions import UsedEditionRow as UsedEditionRow
from estimator.storage.tables.events import DELIVERY_STATES as DELIVERY_STATES
from estimator.storage.tables.events import WEBHOOK_STATES as WEBHOOK_STATES
from estimator.storage.tables.events import DeliveryAttemptRow as DeliveryAttemptRow
from estimator.storage.tables.events import DeliveryRow as DeliveryRow
from estimator.storage.tables.events import EventCountRow as EventCountRow
from estimator.storage.tables.events import EventRow as EventRow
from estimator.storage.tables.events import SealCheckRow as SealCheckRow
from estimator.storage.tables.events import WebhookRow as WebhookRow
from estimator.storage.tables.listings import QuoteListingRow as QuoteListingRow
from estimator.storage.tables.orders import OrderedQuoteRow as OrderedQuoteRow
from estimator.storage.tables.orders import OrderListRow as OrderListRow
from estimator.storage.tables.organisations import ApiKeyRow as ApiKeyRow
from estimator.storage.tables.organisations import AuditRow as AuditRow
from estimator.storage.tables.organisations import HousePolicyRow as HousePolicyRow
from estimator.storage.tables.organisations import OrganisationRow as OrganisationRow
from estimator.storage.tables.organisations import RateLimitRow as RateLimitRow
from estimator.storage.tables.people import AccountRow as AccountRow
from estimator.storage.tables.people import BrowserSessionRow as BrowserSessionRow
from estimator.storage.tables.people import ProviderVisitRow as ProviderVisitRow
from estimator.storage.tables.people import SignInAttemptRow as SignInAttemptRow
from estimator.storage.tables.quotes import QUOTE_STATES as QUOTE_STATES
from estimator.storage.tables.quotes import ApprovalRow as ApprovalRow
from estimator.storage.tables.quotes import DuePapersRow as DuePapersRow
from estimator.storage.tables.quotes import JobRow as JobRow
from estimator.storage.tables.quotes import QuoteAnswerRow as QuoteAnswerRow
from estimator.storage.tables.quotes import QuoteCostsRow as QuoteCostsRow
from estimator.storage.tables.quotes import QuoteDocumentRow as QuoteDocumentRow
from estimator.storage.tables.quotes import QuoteRow as QuoteRow
from estimator.storage.tables.repricings import RepricedQuoteRow as RepricedQuoteRow
from estimator.storage.tables.repricings import RepricingRow as RepricingRow
from estimator.storage.tables.requests import OPERATION_STATES as OPERATION_STATES
from estimator.storage.tables.requests import IdempotencyRow as IdempotencyRow
from estimator.storage.tables.requests import OperationRow as OperationRow
