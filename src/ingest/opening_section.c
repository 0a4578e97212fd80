/* SPDX-License-Identifier: GPL-3.0-or-later */
/* [opening] of job.ini: what is wanted of the piece. */
#include <math.h>
#include <stddef.h>
#include <string.h>

#include "ingest/keys.h"
#include "ingest/load.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* No joint beside a piece is believed to be wider, nor an overhang longer, mm. */
#define GAP_MOST 300.0

static enum bt_status read_two(struct bt_load *load, const struct bt_ini_entry *entry,
                               const char *no, const char *yes, bool *out)
{
    const char *words[2] = {no, yes};
    size_t which;

    if (bt_key_choice(load, entry, 2, words, &which) != BT_OK)
        return BT_EINPUT;
    *out = which == 1;
    return BT_OK;
}

static enum bt_status read_front(struct bt_load *load, const struct bt_ini_entry *entry,
                                 void *out)
{
    return read_two(load, entry, "open", "wall", out);
}

static enum bt_status read_enter(struct bt_load *load, const struct bt_ini_entry *entry,
                                 void *out)
{
    return read_two(load, entry, "front", "above", out);
}

static enum bt_status read_page(struct bt_load *load, const struct bt_ini_entry *entry,
                                void *out)
{
    bool letter;

    if (read_two(load, entry, "a4", "letter", &letter) != BT_OK)
        return BT_EINPUT;
    *(enum bt_outline_page *)out = letter ? BT_PAGE_LETTER : BT_PAGE_A4;
    return BT_OK;
}

static enum bt_status read_gap(struct bt_load *load, const struct bt_ini_entry *entry,
                               void *out)
{
    char shown[BT_SHOWN_ROOM], most[BT_PRINT_ROOM];
    double mm;

    if (bt_key_zero_or_above(load, entry, &mm) != BT_OK)
        return BT_EINPUT;
    if (!(mm <= GAP_MOST))
        return bt_key_value_fault(
            load, entry, "more than is believed: '%s', at most %s; is the unit right?",
            bt_fault_shown(entry->value.text, entry->value.length, shown),
            bt_print_length(most, GAP_MOST, 0, load->job->system, BT_LENGTH_RULE));
    *(double *)out = mm;
    return BT_OK;
}

/* Movement capability, percent of the joint. */
static enum bt_status read_sealant(struct bt_load *load,
                                   const struct bt_ini_entry *entry, void *out)
{
    char shown[BT_SHOWN_ROOM];
    struct bt_quantity q;

    if (bt_key_quantity(load, entry, BT_DIM_PERCENT, BT_UNIT_PERCENT, &q) != BT_OK)
        return BT_EINPUT;
    if (!(q.value > 0 && q.value <= 100))
        return bt_key_value_fault(
            load, entry,
            "no movement that a sealant takes: '%s', above 0 to 100 %% of the joint; "
            "classes are 7.5, 12.5, 20, 25, 35, 50, 100",
            bt_fault_shown(entry->value.text, entry->value.length, shown));
    *(double *)out = q.value;
    return BT_OK;
}

/* A name of [feelers]. */
static enum bt_status read_spacer(struct bt_load *load,
                                  const struct bt_ini_entry *entry, void *out)
{
    const struct bt_job *job = load->job;
    const char *names[64];
    char known[BT_KNOWN_ROOM], shown[BT_SHOWN_ROOM];
    size_t n = job->nfeeler < COUNT(names) ? job->nfeeler : COUNT(names);

    for (size_t i = 0; i < job->nfeeler; i++)
        if (strlen(job->feeler[i].name) == entry->value.length &&
            memcmp(job->feeler[i].name, entry->value.text, entry->value.length) == 0) {
            *(int *)out = (int)i;
            return BT_OK;
        }
    for (size_t i = 0; i < n; i++)
        names[i] = job->feeler[i].name;
    return bt_key_value_fault(
        load, entry, "no feeler of that name in [feelers]: '%s', %s",
        bt_fault_shown(entry->value.text, entry->value.length, shown),
        bt_say_known(known, entry->value.text, entry->value.length, n, names));
}

enum bt_status bt_opening_section_read(struct bt_load *load,
                                       const struct bt_ini_section *section)
{
#define PLAN(member) offsetof(struct bt_opening_plan, member)
    static const struct bt_key keys[] = {
        {"front", read_front, PLAN(front_wall)},
        {"joint", read_gap, PLAN(joint)},
        {"back_joint", read_gap, PLAN(back_joint)},
        {"sealant", read_sealant, PLAN(sealant)},
        {"clearance", read_gap, PLAN(clearance)},
        {"overhang", read_gap, PLAN(overhang)},
        {"enter", read_enter, PLAN(from_above)},
        {"headroom", bt_key_above_zero, PLAN(headroom)},
        {"scribe", read_gap, PLAN(scribe)},
        {"spacer", read_spacer, PLAN(spacer)},
        {"page", read_page, PLAN(page)},
        {"thickness", bt_key_above_zero, PLAN(thickness)},
    };
#undef PLAN

    return bt_keys_read(load, section, COUNT(keys), keys, &load->job->opening.plan);
}
