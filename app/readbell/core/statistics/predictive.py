"""What a result means: how likely it is right, given how common the infection is.

Sources: D. G. Altman, J. M. Bland, BMJ 1994;308:1552 and 1994;309:102 (sensitivity, specificity,
predictive values at a stated prevalence; the worked table verified in a second source); the
interval is that of the logit, as N. D. Mercaldo, K. F. Lau, X. H. Zhou, Statistics in Medicine
2007;26:2170-2183 give it (from memory).

Assumptions: the test does as well with the people here as with those of its study, and the
prevalence is known from outside: how many came out positive here is no prevalence. Domain:
sensitivity and specificity each as so many of so many people; nobody was ever tested often enough
for a share of all or none to be certain, so half a person is put on either side where one of them
is whole.
"""

from __future__ import annotations

from math import exp, log, sqrt

from readbell.core.made_later import dataclass
from readbell.core.statistics.proportion import Z95, Share


@dataclass(frozen=True, slots=True, kw_only=True)
class Observed:
    """So many of so many people of a study; what a maker calls perfect has counts as well."""

    hits: int
    of: int

    @property
    def share(self) -> float:
        """The share as it was counted."""
        return self.hits / self.of

    @property
    def logit_variance(self) -> float:
        """The variance of the logit of the share."""
        return 1.0 / self._softened + 1.0 / (self.of + 2 * self._half - self._softened)

    @property
    def softened_share(self) -> float:
        """The share, never of all or none."""
        return self._softened / (self.of + 2 * self._half)

    @property
    def _half(self) -> float:
        return 0.5 if self.hits in (0, self.of) else 0.0

    @property
    def _softened(self) -> float:
        return self.hits + self._half


@dataclass(frozen=True, slots=True, kw_only=True)
class PerThousand:
    """A thousand people as they would come out; whole people, which add up to a thousand."""

    true_positive: int
    false_negative: int
    false_positive: int
    true_negative: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Meaning:
    """What a positive and a negative mean at one prevalence."""

    prevalence: float
    positive: Share
    """Of those who come out positive, the share that has it."""
    negative: Share
    """Of those who come out negative, the share that has it not."""
    per_thousand: PerThousand


def meaning(prevalence: float, sensitivity: Observed, specificity: Observed) -> Meaning | None:
    """Return what results mean at `prevalence`, or None where that cannot be said.

    Args:
        prevalence: the share of the people tested who have it, above 0 and below 1.
        sensitivity: of those who had it, how many came out positive.
        specificity: of those who had it not, how many came out negative.
    """
    if not 0.0 < prevalence < 1.0 or min(sensitivity.of, specificity.of) <= 0:
        return None
    has, has_not = prevalence, 1.0 - prevalence
    found, cleared = sensitivity.share, specificity.share
    soft_found, soft_cleared = sensitivity.softened_share, specificity.softened_share
    return Meaning(
        prevalence=prevalence,
        positive=_carried(
            right=has * found,
            wrong=has_not * (1.0 - cleared),
            logit=log(has) + log(soft_found) - log(has_not * (1.0 - soft_cleared)),
            variance=_variance(missing=sensitivity, spoiling=specificity),
        ),
        negative=_carried(
            right=has_not * cleared,
            wrong=has * (1.0 - found),
            logit=log(has_not * soft_cleared) - log(has) - log(1.0 - soft_found),
            variance=_variance(missing=specificity, spoiling=sensitivity),
        ),
        per_thousand=_of_a_thousand(has, found, cleared),
    )


def _variance(missing: Observed, spoiling: Observed) -> float:
    """Return the variance of the logit of a predictive value.

    The log of a share varies by its logit's variance times the square of what is missing
    to a whole; the share that counts against varies the same way, by what is there.
    """
    return (
        missing.logit_variance * (1.0 - missing.softened_share) ** 2
        + spoiling.logit_variance * spoiling.softened_share**2
    )


def _carried(*, right: float, wrong: float, logit: float, variance: float) -> Share:
    half = Z95 * sqrt(variance)
    value = right / (right + wrong) if right + wrong else _chance(logit)
    # Where all or none were right in the study, the point lies at the end of its interval.
    return Share(
        value=value,
        low=min(value, _chance(logit - half)),
        high=max(value, _chance(logit + half)),
    )


def _chance(logit: float) -> float:
    # The power of the two that cannot grow past what a float holds.
    small = exp(-abs(logit))
    return (small if logit < 0 else 1.0) / (1.0 + small)


def _of_a_thousand(has: float, found: float, cleared: float) -> PerThousand:
    """Round to whole people so that they add up: those who have it first, then each part of them."""
    ill = round(1000 * has)
    true_positive, true_negative = round(ill * found), round((1000 - ill) * cleared)
    return PerThousand(
        true_positive=true_positive,
        false_negative=ill - true_positive,
        false_positive=1000 - ill - true_negative,
        true_negative=true_negative,
    )
