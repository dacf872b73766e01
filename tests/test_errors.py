"""Errors: three things in every message, and the exit status a kind of failure stands for."""

from __future__ import annotations

import pytest

from fitcheck.errors import (
    AmbiguousError,
    DataError,
    FitcheckError,
    InputError,
    NotKnownError,
    OffTableError,
)

STATUSES = {
    FitcheckError: 1,
    InputError: 2,
    OffTableError: 1,
    NotKnownError: 1,
    DataError: 1,
}


@pytest.mark.parametrize(("kind", "status"), STATUSES.items())
def test_a_message_gives_value_rule_and_what_to_do(kind: type[FitcheckError], status: int) -> None:
    error = kind(value="-5", rule="a length can't be negative", todo="Measure again")
    assert str(error) == "-5: a length can't be negative. Measure again"
    assert (error.value, error.rule, error.todo) == (
        "-5",
        "a length can't be negative",
        "Measure again",
    )
    assert error.exit_status == status


def test_an_ambiguous_value_names_every_reading() -> None:
    error = AmbiguousError(value="1,250", readings=("1.250", "1250"))
    assert str(error) == "1,250: this can be read as 1.250 or as 1250. Write the one you mean"
    assert error.readings == ("1.250", "1250")
    assert error.exit_status == 2
    assert isinstance(error, InputError)


def test_an_error_can_name_the_place_of_the_value() -> None:
    error = AmbiguousError(value="1,250", readings=("1.250", "1250"))
    placed = error.at("--shaft")
    assert placed is error
    assert str(placed).startswith("--shaft 1,250: this can be read as")
    assert error.value == "--shaft 1,250"
