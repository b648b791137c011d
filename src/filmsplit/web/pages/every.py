"""Every page there is."""

from __future__ import annotations

from filmsplit.web.pages import (
    admitted,
    as_found,
    compare,
    due,
    explained,
    find,
    history,
    home,
    job_foreseen,
    job_kept,
    job_log,
    job_set,
    job_try,
    job_work,
    jobs,
    looks,
    marks,
    pairing,
    place,
    press,
    press_edit,
    press_new,
    press_photo,
    presses,
    register,
    rollers,
    round_contact,
    round_gate,
    round_picture,
    round_result,
    rounds,
    solution,
    solution_put,
    words,
)

ROUND_PAGES = (rounds, round_gate, round_contact, round_picture, round_result)
JOB_PAGES = (jobs, job_set, job_try, job_foreseen, job_kept, job_work, job_log)
PRESS_PAGES = (presses, compare, press_new, press_edit, press_photo, press, place, marks, as_found)
WORD_PAGES = (words, find, explained)
CARE_PAGES = (register, due, rollers, solution, solution_put)
LATER = (*PRESS_PAGES, *CARE_PAGES, *JOB_PAGES, *ROUND_PAGES, history, *WORD_PAGES, looks, pairing, admitted)
ROUTERS = tuple(page.router for page in (home, *LATER))
"""The pages. The API has its own, which only it loads."""
