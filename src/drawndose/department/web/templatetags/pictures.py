"""The pictures of a plan's steps, for the template of the steps."""

from django import template

from drawndose.bench.plans import Plan
from drawndose.bench.steps import Step
from drawndose.department.web.step_pictures import StepPicture, step_pictures

register = template.Library()


@register.simple_tag
def pictures_of(plan: Plan, step: Step, prefix: str = "") -> tuple[StepPicture, ...]:
    """Every picture of a step that the plan has the numbers for."""
    return step_pictures(plan, step, prefix)
