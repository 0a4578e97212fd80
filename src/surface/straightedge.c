/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/surface/straightedge.h"

#include <math.h>

#include "surface/straightedge_private.h"

/* Points nearer than this share of the span are at one place. */
static const double same_place = 1e-9;

static enum bt_status check_span(double span, struct bt_error *err)
{
    if (!(span > 0) || !isfinite(span))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the span of the edge is not a length above 0");
    return BT_OK;
}

static enum bt_status check_line(size_t n, const double s[], const double z[],
                                 struct bt_error *err)
{
    for (size_t i = 0; i < n; i++) {
        if (!isfinite(s[i]) || !isfinite(z[i]))
            return bt_error_set(err, BT_EINPUT, i, 0, "point %zu is not finite", i);
        if (i && !(s[i] > s[i - 1]))
            return bt_error_set(err, BT_EINPUT, i, 0,
                                "point %zu does not lie behind the one before", i);
    }
    return BT_OK;
}

static enum bt_status no_memory(struct bt_error *err)
{
    return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
}

enum bt_status bt_edge_gap_line(size_t n, const double s[], const double z[],
                                double span, struct bt_edge_gap *out,
                                struct bt_error *err)
{
    struct bt_edge_work work = {0};
    struct bt_edge_gap best = {0};
    enum bt_status status = check_span(span, err);

    if (status == BT_OK)
        status = check_line(n, s, z, err);
    if (status == BT_OK && !bt_edge_work_fit(&work, n))
        status = no_memory(err);
    if (status == BT_OK) {
        bt_edge_line(&work, n, s, z, span, &best);
        *out = best;
    }
    bt_edge_work_clear(&work);
    return status;
}

const char *bt_edge_direction_name(enum bt_edge_direction direction)
{
    static const char *const name[BT_EDGE_DIRECTIONS] = {"along", "across",
                                                         "diagonal AC", "diagonal BD"};

    if (direction == BT_EDGE_OBLIQUE)
        return "oblique";
    return (unsigned)direction < BT_EDGE_DIRECTIONS ? name[direction] : "";
}

/* Three places within reach of one edge: less shows nothing under it. */
static bool reaches_three(size_t n, const double place[], double span)
{
    for (size_t k = 2; k < n; k++)
        if (place[k] - place[k - 2] <= span * (1 + same_place))
            return true;
    return false;
}

/* The gap found on one line stands until a larger one is found on another. */
static bool search_lines(const struct bt_edge_lines *lines, struct bt_edge_work *work,
                         struct bt_edge_result *result)
{
    size_t count = 0;

    for (size_t k = 0; k < lines->count; k++) {
        const size_t from = lines->start[k], n = lines->start[k + 1] - from;
        const size_t *item = lines->item + from;
        struct bt_edge_gap *worst = &result->worst;

        if (n < 3)
            continue;
        if (!result->seen)
            result->seen = reaches_three(n, lines->place + from, result->span);
        count++;
        if (!bt_edge_work_fit(work, n))
            return false;
        if (bt_edge_line(work, n, lines->place + from, lines->z + from, result->span,
                         worst))
            *worst = (struct bt_edge_gap){worst->gap, item[worst->left],
                                          item[worst->right], item[worst->deepest]};
    }
    result->lines = count > result->lines ? count : result->lines;
    return true;
}

enum bt_status bt_edge_gap_search(size_t n, const struct bt_point p[], const double z[],
                                  const struct bt_edge_search *search,
                                  enum bt_edge_direction direction, double span,
                                  struct bt_edge_result *out, struct bt_error *err)
{
    const bool oblique = direction == BT_EDGE_OBLIQUE;
    struct bt_edge_result result = {
        .span = span, .direction = direction, .angle = oblique ? search->angle : 0};
    struct bt_edge_work work = {0};
    enum bt_status status = check_span(span, err);

    for (int look = 0; status == BT_OK && look <= (int)oblique; look++) {
        struct bt_edge_lines lines = {0};

        status = bt_edge_lines_gather(n, p, z, search, direction, look > 0,
                                      same_place * span, &lines, err);
        if (status == BT_OK && !search_lines(&lines, &work, &result))
            status = no_memory(err);
        bt_edge_lines_clear(&lines);
    }
    if (status == BT_OK)
        *out = result;
    bt_edge_work_clear(&work);
    return status;
}
