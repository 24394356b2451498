"""The first hour: questions, refusals, ballpark and options."""

from studio_lib.brief.ballpark import Ballpark, PastJob, Wanted, ballpark
from studio_lib.brief.options import Row, compare
from studio_lib.brief.questions import QUESTIONS, Question, answers_of, next_few, open_questions
from studio_lib.brief.stops import HELD, Accepted, Stop, is_stop, key_of, papers_held, stops

__all__ = [
    "HELD",
    "QUESTIONS",
    "Accepted",
    "Ballpark",
    "PastJob",
    "Question",
    "Row",
    "Stop",
    "Wanted",
    "answers_of",
    "ballpark",
    "compare",
    "is_stop",
    "key_of",
    "next_few",
    "open_questions",
    "papers_held",
    "stops",
]
