/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ingest/load.h"

#include <math.h>
#include <stddef.h>

#include "ingest/keys.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* A push by hand needs both its force and the gap that it closed. */
static void check_hand(struct bt_load *load, const struct bt_ini_section *section)
{
    const struct bt_ini_entry *force = bt_keys_entry(section, "hand_force");
    const struct bt_ini_entry *gap = bt_keys_entry(section, "hand_gap");

    if (force && !gap)
        bt_key_fault(load, force,
                     "hand_force without hand_gap: state the gap that "
                     "the push closed, too");
    if (gap && !force)
        bt_key_fault(load, gap,
                     "hand_gap without hand_force: state the push that "
                     "closed it, too");
}

/* Along two lines a panel can be tilted, but not pulled flat. */
static void check_lines(struct bt_load *load, const struct bt_ini_section *section)
{
    const struct bt_ini_entry *lines = bt_keys_entry(section, "screw_lines");

    if (lines && load->job->plan.screw_lines && load->job->plan.screw_lines < 3)
        bt_key_value_fault(load, lines,
                           "screw_lines must be 3 or more: two lines of screws cannot "
                           "pull a panel flat");
}

enum bt_status bt_plan_section_read(struct bt_load *load,
                                    const struct bt_ini_section *section)
{
#define TO(member) offsetof(struct bt_work_plan, member)
    static const struct bt_key keys[] = {
        {"least_thickness", bt_key_above_zero, TO(least_thickness)},
        {"least_width", bt_key_above_zero, TO(least_width)},
        {"depth_per_pass", bt_key_above_zero, TO(depth_per_pass)},
        {"machine_width", bt_key_above_zero, TO(machine_width)},
        {"shaving", bt_key_above_zero, TO(shaving)},
        {"kerf", bt_key_zero_or_above, TO(kerf)},
        {"jointing", bt_key_zero_or_above, TO(jointing)},
        {"trim", bt_key_zero_or_above, TO(trim)},
        {"setup_time", bt_key_minutes, TO(setup_time)},
        {"pass_time", bt_key_minutes, TO(pass_time)},
        {"plane_time", bt_key_minutes, TO(plane_time)},
        {"joint_time", bt_key_minutes, TO(joint_time)},
        {"screw_time", bt_key_minutes, TO(screw_time)},
        {"hand_force", bt_key_force, TO(hand_force)},
        {"hand_gap", bt_key_above_zero, TO(hand_gap)},
        {"screw_diameter", bt_key_above_zero, TO(screw_diameter)},
        {"screw_thread", bt_key_above_zero, TO(screw_thread)},
        {"screw_lines", bt_key_count, TO(screw_lines)},
        {"screws", bt_key_count, TO(screws)},
    };
#undef TO
    enum bt_status status =
        bt_keys_read(load, section, COUNT(keys), keys, &load->job->plan);

    if (status == BT_OK) {
        check_hand(load, section);
        check_lines(load, section);
    }
    return status;
}
