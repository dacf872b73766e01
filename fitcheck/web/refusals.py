"""What the bench page refuses, in one shape: value, rule and what to do next."""

from __future__ import annotations

import json
from collections.abc import Mapping

from starlette.exceptions import HTTPException
from starlette.responses import Response

from fitcheck.errors import DataError, FitcheckError, InputError, NotKnownError, OffTableError

BAD_REQUEST = 400
NOT_KNOWN = 404
NOT_UNDERSTOOD = 422
BUSY = 503


class Refusal(HTTPException):
    """A request that is not answered, with the status it is refused by.

    Parameters
    ----------
    status : int
        The HTTP status.
    value, rule, todo : str
        What was given, the rule it broke, what to do next.
    close : bool
        Whether the connection ends, because the rest of the request is not read.
    retry_s : int
        After how long it may be tried again [s]; 0 where that is no matter of time.
    """

    def __init__(
        self,
        status: int,
        *,
        value: str,
        rule: str,
        todo: str,
        close: bool = False,
        retry_s: int = 0,
    ) -> None:
        self.value, self.rule, self.todo = value, rule, todo
        headers = {"connection": "close"} if close else {}
        if retry_s:
            headers["retry-after"] = str(retry_s)
        super().__init__(status, detail=rule, headers=headers)

    def response(self) -> Response:
        """The refusal as a JSON answer."""
        return error_response(
            self.status_code,
            value=self.value,
            rule=self.rule,
            todo=self.todo,
            headers=self.headers,
        )


def busy(rule: str = "too much is being worked out just now") -> Refusal:
    """The refusal of what there is no room for at the moment.

    Parameters
    ----------
    rule : str
        What it waits for.
    """
    return Refusal(BUSY, value="busy", rule=rule, todo="Try again in a moment", retry_s=2)


def error_response(
    status: int, *, value: str, rule: str, todo: str, headers: Mapping[str, str] | None = None
) -> Response:
    """One refusal as JSON.

    Parameters
    ----------
    status : int
        The HTTP status.
    value, rule, todo : str
        What was given, the rule it broke, what to do next.
    headers : mapping of str to str, optional
        More headers.
    """
    # Escaped to ASCII: whatever was sent may be in the value, half a character too.
    text = json.dumps({"error": {"value": value, "rule": rule, "todo": todo}})
    return Response(text, status, media_type="application/json", headers=dict(headers or {}))


def status_of(error: FitcheckError) -> int:
    """The HTTP status of one of the program's own errors.

    Parameters
    ----------
    error : FitcheckError
        The error.
    """
    if isinstance(error, DataError):
        return BUSY
    if isinstance(error, NotKnownError):
        return NOT_KNOWN
    return NOT_UNDERSTOOD if isinstance(error, InputError | OffTableError) else BAD_REQUEST


def program_response(error: FitcheckError) -> Response:
    """One of the program's own errors as a JSON answer.

    Parameters
    ----------
    error : FitcheckError
        The error.
    """
    status = status_of(error)
    headers = {"retry-after": "2"} if status == BUSY else {}
    return error_response(
        status, value=error.value, rule=error.rule, todo=error.todo, headers=headers
    )
