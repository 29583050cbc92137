"""What may be said of evaluators, steps, standards, learners and readings: each number with its interval, or why there is none.

| question | module |
|---|---|
| how surely is a share known | `proportion` |
| do two evaluators agree, or many | `kappa`; `fleiss`, `chance_corrected`, `krippendorff`, `icc` |
| who is lenient, and on which step | `leniency`, `exchange` |
| which step fails, which step tells people apart | `items`, `reliability` |
| where does the pass mark lie | `standards` |
| what does a pass prove | `pass_rule` |
| is somebody learning, and does it last | `cusum`, `lc_cusum`, `learning`, `retention` |
| do two ways of reading agree, is a measurement good enough | `bland_altman`, `gauge`, `capability`, `readings` |
| which practice comes next | `rasch`, `two_parameter`, `spacing` |
| a whole cohort at once | `cohort` |
| the same as pictures | `pictures`, out of `charts` |

Under them: `anova`, `regression`, `spans`, `tables`, `estimable`. Beside them: `cases`, which works the check cases by the
kinds of `case_raters`, `case_steps`, `case_learning` and `case_readings`.

A number that the data cannot give is `NotEstimable` with the reason; it is never 0, and never a float that is no number. What cannot be
understood at all (a table with rows of unlike lengths, a count below 0) is refused.
"""
