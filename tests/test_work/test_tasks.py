from __future__ import annotations

from fieldsim.work.tasks import Group, Task, groups_of, tasks_of
from tests.farms import hand_farm, small_farm

NONE = -1
SECOND_TILLAGE = """\
[operations.cultivate]
kind = "cultivating"
follows = "plant"
hours_per_day = "10 h"

[operations.spray]
kind = "cultivating"
follows = "plant"
hours_per_day = "10 h"

[operations.plant]
kind = "planting"
follows = "till"
lag = "1 day"
hours_per_day = "10 h"

[operations.till]
kind = "tillage"
follows = "disk"
hours_per_day = "10 h"

[operations.disk]
kind = "tillage"
hours_per_day = "10 h"

[operations.rake]
kind = "tillage"
hours_per_day = "10 h"
"""


def test_each_field_has_its_chain_and_switched_land_a_twin_from_planting_on() -> None:
    home, corn_land = "home", "corn"
    assert tasks_of(small_farm()) == (
        Task(home, Group("till", "corn"), NONE, NONE),
        Task(home, Group("plant", "corn"), 0, 1),
        Task(home, Group("cultivate", "corn"), 1, 1),
        Task(home, Group("plant", "soybeans", corn_land), 0, 3, starts_with=1),
        Task(home, Group("cultivate", "soybeans", corn_land), 3, 3),
        Task("river", Group("till", "soybeans"), NONE, NONE),
        Task("river", Group("plant", "soybeans"), 5, 6),
        Task("river", Group("cultivate", "soybeans"), 6, 6),
    )


def test_groups_add_up_the_fields_of_a_crop_and_keep_switched_land_apart() -> None:
    farm = small_farm(
        ("[fields.river]", '[fields.hill]\ncrop = "corn"\narea = "9 acre"\nrow_length = "900 ft"\n'
         "\n[fields.river]"),
    )  # fmt: skip
    tasks = tasks_of(farm)
    assert len(tasks) == 5 + 5 + 3
    assert groups_of(tasks) == (
        Group("till", "corn"),
        Group("plant", "corn"),
        Group("cultivate", "corn"),
        Group("plant", "soybeans", "corn"),
        Group("cultivate", "soybeans", "corn"),
        Group("till", "soybeans"),
        Group("plant", "soybeans"),
        Group("cultivate", "soybeans"),
    )


def test_operations_may_stand_in_any_order_and_branch() -> None:
    farm = hand_farm(
        ('[operations.till]\nkind = "tillage"\nhours_per_day = "10 h"\n\n'
         '[operations.plant]\nkind = "planting"\nfollows = "till"\nlag = "1 day"\n'
         'hours_per_day = "10 h"\n', SECOND_TILLAGE),
        ('operations = ["till"]', 'operations = ["till", "disk", "rake", "cultivate", "spray"]'),
        ('priority = ["plant", "till"]', 'priority = "loss"'),
    )  # fmt: skip
    tasks = tasks_of(farm)
    chain = {
        task.group.operation: (
            tasks[task.follows].group.operation if task.follows >= 0 else None,
            task.planting >= 0 and tasks[task.planting].group.operation,
        )
        for task in tasks
    }
    assert chain == {
        "rake": (None, False),
        "disk": (None, False),
        "till": ("disk", False),
        "plant": ("till", "plant"),
        "cultivate": ("plant", "plant"),
        "spray": ("plant", "plant"),
    }
    assert all(task.follows < place for place, task in enumerate(tasks))


def test_work_that_only_one_of_the_crops_has_is_done_on_its_land_only() -> None:
    farm = small_farm(
        ('kind = "cultivating"', 'kind = "cultivating"\ncrops = ["corn"]'),
        (', soybeans = "50 days" }', " }"),
    )
    chains = [(task.field, task.group.operation, task.group.crop) for task in tasks_of(farm)]
    assert chains == [
        ("home", "till", "corn"),
        ("home", "plant", "corn"),
        ("home", "cultivate", "corn"),
        ("home", "plant", "soybeans"),
        ("river", "till", "soybeans"),
        ("river", "plant", "soybeans"),
    ]
