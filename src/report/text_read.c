/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/text_parts.h"

#include "report/words.h"

struct kind_words {
    const char *one, *many;
};

static const struct kind_words kind_words[BT_READ_KINDS] = {
    [BT_READ_HEIGHT] = {"height over a reference", "heights over a reference"},
    [BT_READ_GAP] = {"gap under a straightedge", "gaps under a straightedge"},
    [BT_READ_BAR] = {"reading of a dial on a bar", "readings of a dial on a bar"},
    [BT_READ_SLOPE] = {"slope", "slopes"},
    [BT_READ_WIND] = {"reading of winding sticks", "readings of winding sticks"},
    [BT_READ_SCAN] = {"scanned height", "scanned heights"},
};

static const char *const origin_words[BT_U_ORIGINS] = {
    [BT_U_TYPED] = "typed with the reading",
    [BT_U_INTERVAL] = "from a pair of feelers",
    [BT_U_INSTRUMENT] = "as the job states it for the instrument",
    [BT_U_RESOLUTION] = "from the resolution of the instrument",
    [BT_U_DIGIT] = "from the last digit typed in the column",
};

void bt_text_readings(struct bt_buffer *out, const struct bt_set *set)
{
    const char *between = "";

    for (int k = 0; k < BT_READ_KINDS; k++) {
        if (!set->kinds[k])
            continue;
        bt_buffer_text(out, between);
        bt_words_count(out, set->kinds[k], kind_words[k].one, kind_words[k].many);
        between = ", ";
    }
    if (!*between) {
        bt_buffer_text(out, "nothing read yet");
    } else {
        bt_buffer_text(out, " at ");
        bt_words_count(out, set->readings.npoint, "place", "places");
    }
    if (set->blank)
        bt_buffer_format(out, "; %zu left blank", set->blank);
    if (set->skipped)
        bt_buffer_format(out, "; %zu left out as asked", set->skipped);
}

void bt_text_u_origins(struct bt_buffer *out, const size_t count[BT_U_ORIGINS])
{
    const char *between = "";

    for (int i = 0; i < BT_U_ORIGINS; i++) {
        if (!count[i])
            continue;
        bt_buffer_text(out, between);
        bt_buffer_format(out, "%zu %s", count[i], origin_words[i]);
        between = ", ";
    }
}

void bt_text_origins(struct bt_buffer *out, const struct bt_set *set)
{
    bt_text_u_origins(out, set->u_origin);
}

void bt_text_too_long(struct bt_buffer *out, const struct bt_set *set)
{
    if (set->too_long == 0)
        return;
    bt_buffer_text(out, "Too long:  ");
    bt_words_count(out, set->too_long, "line is", "lines are");
    bt_buffer_format(out,
                     " longer than the straightedge: %s not read in one placement "
                     "(check names %s)\n",
                     set->too_long == 1 ? "it was" : "they were",
                     set->too_long == 1 ? "it" : "them");
}

void bt_text_far_off(struct bt_buffer *out, const struct bt_set_result *r)
{
    const struct bt_far_off *far = &r->flatness.far_off;
    struct bt_source first;

    if (far->n == 0)
        return;
    first = bt_set_source(r->set, far->point[0]);
    bt_buffer_text(out, "Far off:   ");
    bt_words_count(out, far->n, "height stands", "heights stand");
    bt_buffer_format(out, " far from all others and count%s here, %s",
                     far->n == 1 ? "s" : "", far->n == 1 ? "" : "first ");
    bt_buffer_name(out, r->set->file[first.file]);
    bt_buffer_format(out, ":%zu (check names them, --without leaves a line out)\n",
                     first.line);
}
