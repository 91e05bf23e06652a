"""Minimum-entropy Bayesian placement on a grid: the next stimulus is the one whose answer is expected to leave the least entropy.

Watson AB (2017), QUEST+: A general multidimensional Bayesian adaptive psychometric method, J Vision 17(3), 10.
"""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


class EntropyPlacement:
    """Posterior over a flat list of parameter points, and where to look next.

    Args:
        likelihood: (answers, stimuli, points) chance of each answer.
        prior: (points,) prior chances; uniform where not given.
    """

    def __init__(self, likelihood: Array, prior: Array | None = None) -> None:
        self.likelihood = likelihood
        points = likelihood.shape[2]
        self.posterior: Array = np.full(points, 1.0 / points) if prior is None else prior / prior.sum()
        # chances are floored so that an answer the model holds impossible cannot empty the posterior
        self._log = np.log(np.maximum(likelihood, 1e-300))
        self._weighted_log = likelihood * self._log
        self._log_posterior: Array = np.log(np.maximum(self.posterior, 1e-300))

    def expected_entropy(self) -> Array:
        """(stimuli,) expected posterior entropy in nats, less the entropy of the present posterior.

        Expected entropy = prior entropy - information, and information = entropy of the answer - mean entropy of the answer
        given the point; this form needs one product per answer and no posterior per answer.
        """
        answer = self.likelihood @ self.posterior
        with np.errstate(divide="ignore", invalid="ignore"):
            marginal = np.where(answer > 0.0, answer * np.log(answer), 0.0)
        given = self._weighted_log @ self.posterior
        information: Array = given.sum(axis=0) - marginal.sum(axis=0)
        return -information

    def place(self) -> int:
        """Index of the stimulus to show next; the first of equals."""
        return int(np.argmin(self.expected_entropy()))

    def learn(self, stimulus: int, answer: int) -> None:
        """Take in one answer, in logarithms so that a small chance never becomes a lasting zero."""
        self._log_posterior = self._log_posterior + self._log[answer, stimulus]
        weights = np.exp(self._log_posterior - self._log_posterior.max())
        self.posterior = weights / weights.sum()

    def mode(self) -> int:
        """Index of the likeliest point."""
        return int(np.argmax(self.posterior))

    def mean(self, values: Array) -> float:
        """Posterior mean of a (points,) value."""
        return float(self.posterior @ values)
