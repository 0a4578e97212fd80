/* SPDX-License-Identifier: GPL-3.0-or-later */
/* [layout] of job.ini. */
#include "ingest/load.h"

#include <math.h>
#include <stddef.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "ingest/keys.h"

#define COUNT(array) (sizeof(array) / sizeof *(array))

/* Each of the four choices is an enum whose values count from 0 in this order. */
static enum bt_status read_order(struct bt_load *load, const struct bt_ini_entry *entry,
                                 void *out)
{
    static const char *const words[] = {"free", "as listed"};
    size_t which;

    if (bt_key_choice(load, entry, COUNT(words), words, &which) != BT_OK)
        return BT_EINPUT;
    *(enum bt_layout_order *)out = (enum bt_layout_order)which;
    return BT_OK;
}

static enum bt_status read_trim(struct bt_load *load, const struct bt_ini_entry *entry,
                                void *out)
{
    static const char *const words[] = {"any", "equal", "back", "front"};
    size_t which;

    if (bt_key_choice(load, entry, COUNT(words), words, &which) != BT_OK)
        return BT_EINPUT;
    *(enum bt_layout_trim *)out = (enum bt_layout_trim)which;
    return BT_OK;
}

static enum bt_status read_centre(struct bt_load *load,
                                  const struct bt_ini_entry *entry, void *out)
{
    static const char *const words[] = {"any", "board", "joint"};
    size_t which;

    if (bt_key_choice(load, entry, COUNT(words), words, &which) != BT_OK)
        return BT_EINPUT;
    *(enum bt_layout_centre *)out = (enum bt_layout_centre)which;
    return BT_OK;
}

static enum bt_status read_rings(struct bt_load *load, const struct bt_ini_entry *entry,
                                 void *out)
{
    static const char *const words[] = {"any", "alternate", "match"};
    size_t which;

    if (bt_key_choice(load, entry, COUNT(words), words, &which) != BT_OK)
        return BT_EINPUT;
    *(enum bt_layout_ring_rule *)out = (enum bt_layout_ring_rule)which;
    return BT_OK;
}

/* 0 to 10 degrees: bt_key_angle wants more than 0. */
static enum bt_status read_turn(struct bt_load *load, const struct bt_ini_entry *entry,
                                void *out)
{
    static const double most = 0.17453292519943295;
    struct bt_quantity angle;
    char shown[BT_SHOWN_ROOM];

    if (bt_key_quantity(load, entry, BT_DIM_ANGLE, BT_UNIT_DEG, &angle) != BT_OK)
        return BT_EINPUT;
    if (!(angle.value >= 0) || !(angle.value <= most))
        return bt_key_value_fault(
            load, entry, "turn must be 0 to 10 deg: '%s'",
            bt_fault_shown(entry->value.text, entry->value.length, shown));
    *(double *)out = angle.value;
    return BT_OK;
}

/* ---- clear = 300 mm +- 20 mm, ... ---- */

/* Part of a value as an entry of its own, without blanks around it, so that a fault
 * has its place. */
static struct bt_ini_entry part_of(const struct bt_ini_entry *entry, const char *from,
                                   const char *to)
{
    struct bt_ini_entry part = *entry;

    while (from < to && (*from == ' ' || *from == '\t'))
        from++;
    while (to > from && (to[-1] == ' ' || to[-1] == '\t'))
        to--;
    part.value.text = from;
    part.value.length = (size_t)(to - from);
    part.value.column +=
        bt_text_columns(entry->value.text, (size_t)(from - entry->value.text));
    return part;
}

/* Where `+-` or its one sign stands, and how long it is; NULL where it does not. */
static const char *find_tolerance(const struct bt_ini_entry *part, size_t *length)
{
    static const char *const signs[] = {"+-", "\xc2\xb1", "+/-"};
    const char *end = part->value.text + part->value.length;

    for (const char *at = part->value.text; at < end; at++)
        for (size_t i = 0; i < COUNT(signs); i++) {
            *length = strlen(signs[i]);
            if ((size_t)(end - at) >= *length && memcmp(at, signs[i], *length) == 0)
                return at;
        }
    return NULL;
}

static void read_place(struct bt_load *load, const struct bt_ini_entry *part)
{
    struct bt_layout_setup *layout = &load->job->layout;
    const char *end = part->value.text + part->value.length;
    struct bt_layout_clear clear;
    struct bt_ini_entry y, within;
    char shown[BT_SHOWN_ROOM];
    size_t length = 0;
    const char *sign = find_tolerance(part, &length);

    bt_fault_shown(part->value.text, part->value.length, shown);
    if (!sign) {
        bt_key_value_fault(load, part,
                           "no distance: '%s', write within how far of it no joint may "
                           "lie, as 300 mm +- 20 mm",
                           shown);
        return;
    }
    y = part_of(part, part->value.text, sign);
    within = part_of(part, sign + length, end);
    if (bt_key_zero_or_above(load, &y, &clear.y) != BT_OK ||
        bt_key_above_zero(load, &within, &clear.within) != BT_OK)
        return;
    if (layout->nclear == BT_LAYOUT_CLEARS)
        bt_key_value_fault(load, part, "more than %d places to keep clear: '%s'",
                           (int)BT_LAYOUT_CLEARS, shown);
    else
        layout->clear[layout->nclear++] = clear;
}

static enum bt_status read_clear(struct bt_load *load, const struct bt_ini_entry *entry,
                                 void *out)
{
    struct bt_layout_setup *layout = out;
    const char *at = entry->value.text, *end = at + entry->value.length;

    layout->nclear = 0;
    bt_free(layout->clear);
    layout->clear = bt_alloc(BT_LAYOUT_CLEARS, sizeof *layout->clear);
    if (!layout->clear)
        return BT_ENOMEM;
    while (at < end) {
        const char *comma = memchr(at, ',', (size_t)(end - at));
        const char *stop = comma ? comma : end;
        const struct bt_ini_entry part = part_of(entry, at, stop);

        read_place(load, &part);
        at = stop + 1;
    }
    return BT_OK;
}

/* A place beyond the front edge is never reached: the width is known when all keys are
 * read. */
static void check_clear(struct bt_load *load, const struct bt_ini_section *section)
{
    const struct bt_job *job = load->job;
    const struct bt_ini_entry *entry = bt_keys_entry(section, "clear");
    const double width =
        isnan(job->layout.width) ? job->panel.width : job->layout.width;
    char at[BT_PRINT_ROOM], wide[BT_PRINT_ROOM];

    for (size_t i = 0; entry && i < job->layout.nclear; i++)
        if (job->layout.clear[i].y > width)
            bt_key_value_fault(
                load, entry, "outside the piece: %s from the back edge, it is %s wide",
                bt_print_length(at, job->layout.clear[i].y, 0, job->system,
                                BT_LENGTH_RULE),
                bt_print_length(wide, width, 0, job->system, BT_LENGTH_RULE));
}

enum bt_status bt_layout_section_read(struct bt_load *load,
                                      const struct bt_ini_section *section)
{
#define AT(member) offsetof(struct bt_layout_setup, member)
    static const struct bt_key keys[] = {
        {"order", read_order, AT(order)},
        {"trim", read_trim, AT(trim)},
        {"narrowest", bt_key_zero_or_above, AT(narrowest)},
        {"centre", read_centre, AT(centre)},
        {"rings", read_rings, AT(rings)},
        {"clear", read_clear, 0},
        {"jointing", bt_key_zero_or_above, AT(jointing)},
        {"beside", bt_key_zero_or_above, AT(beside)},
        {"clearance", bt_key_zero_or_above, AT(clearance)},
        {"width", bt_key_above_zero, AT(width)},
        {"length", bt_key_above_zero, AT(length)},
        {"width_u", bt_key_above_zero, AT(width_u)},
        {"spare", bt_key_zero_or_above, AT(spare)},
        {"ends", bt_key_zero_or_above, AT(ends)},
        {"turn", read_turn, AT(turn)},
    };
#undef AT
    enum bt_status status =
        bt_keys_read(load, section, COUNT(keys), keys, &load->job->layout);

    if (status == BT_OK)
        check_clear(load, section);
    return status;
}
