/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/text_cautions.h"

#include <math.h>

#include "report/joint_words.h"

static double own_or_panel(double own, double panel)
{
    return isnan(own) ? panel : own;
}

bool bt_caution_for_board(const struct bt_caution *caution, const struct bt_job *job,
                          size_t board)
{
    const struct bt_board *b = &job->board[board];

    return bt_caution_applies(caution, own_or_panel(b->length, job->panel.length),
                              b->width,
                              own_or_panel(b->thickness, job->panel.thickness));
}

static void add_boards(struct bt_buffer *out, const struct bt_caution *caution,
                       const struct bt_job *job)
{
    const char *between = " HERE: board ";

    for (size_t b = 0; b < job->nboard; b++) {
        if (!bt_caution_for_board(caution, job, b))
            continue;
        bt_buffer_text(out, between);
        bt_say_board(out, job, b);
        between = ", ";
    }
    if (*between == ',')
        bt_buffer_text(out, ".");
}

void bt_text_cautions(struct bt_buffer *out, const struct bt_job *job,
                      enum bt_caution_when when)
{
    bt_buffer_text(out, "\nCautions\n");
    for (size_t i = 0; i < bt_caution_count(); i++) {
        const struct bt_caution *caution = bt_caution_at(i);

        if (!(caution->when & (unsigned)when))
            continue;
        bt_buffer_format(out, "  - %s", caution->text);
        add_boards(out, caution, job);
        bt_buffer_format(out, " (%s)\n", caution->source);
    }
}
