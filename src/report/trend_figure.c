/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/report/trend_text.h"
#include "report/words.h"

static void fill_graph(const struct bt_trend_answer *a,
                       const struct bt_trend_line *line, struct bt_trend_mark mark[],
                       struct bt_trend_graph *g)
{
    for (size_t i = 0; i < a->nused; i++) {
        const struct bt_trend_set *set = &a->set[a->used[i]];

        mark[i] = (struct bt_trend_mark){set->day, *bt_trend_figure(set, line->figure)};
    }
    *g = (struct bt_trend_graph){.name = bt_figure_name(line->figure),
                                 .above = bt_words_shape(line->figure, 1),
                                 .below = bt_words_shape(line->figure, -1),
                                 .verdict = bt_trend_verdict_text(line->verdict),
                                 .limit = line->limit,
                                 .n = a->nused,
                                 .mark = mark,
                                 .rest = line->follows ? &line->rest : NULL};
}

/* `4 sets, 2026-04-20 to 2026-05-10, top face`. */
static void say_sets(struct bt_buffer *out, const struct bt_trend_answer *a)
{
    const struct bt_set *latest = a->set[a->latest].set;

    bt_words_count(out, a->nused, "set", "sets");
    bt_buffer_format(out, " of readings, %s to %s, ", a->set[a->used[0]].set->date,
                     latest->date);
    bt_buffer_text(out, latest->face == BT_FACE_BOTTOM
                            ? "bottom face as it was read, turned over about its length"
                            : "top face");
}

enum bt_status bt_trend_draw(const struct bt_trend_answer *answer,
                             enum bt_figure_format format, struct bt_figure_bytes *out,
                             struct bt_error *err)
{
    struct bt_trend_graph graph[BT_TREND_FIGURES];
    struct bt_buffer what = {0};
    struct bt_trend_mark *mark =
        bt_alloc(BT_TREND_FIGURES * answer->nused, sizeof *mark);
    struct bt_trend_figure_input input = {.job = answer->job,
                                          .date = answer->set[answer->latest].set->date,
                                          .ngraph = BT_TREND_FIGURES,
                                          .graph = graph,
                                          .next_known =
                                              answer->next != BT_TREND_NEXT_NONE &&
                                              answer->next != BT_TREND_NEXT_FINER,
                                          .next = answer->next_day};
    enum bt_status status = BT_ENOMEM;

    say_sets(&what, answer);
    if (mark && !what.failed) {
        for (size_t i = 0; i < BT_TREND_FIGURES; i++)
            fill_graph(answer, &answer->line[i], mark + i * answer->nused, &graph[i]);
        input.what = what.text;
        status = bt_figure_trend(&input, format, out, err);
    } else {
        bt_error_set(err, status, 0, 0, "%s", bt_status_text(status));
    }
    bt_buffer_clear(&what);
    bt_free(mark);
    return status;
}
