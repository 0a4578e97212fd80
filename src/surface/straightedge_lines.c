/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <gsl/gsl_sort_double.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "surface/network_private.h"
#include "surface/straightedge_private.h"

/* Coordinates that differ by less than this share of their extent differ by how they
 * were rounded. */
static const double same_offset = 1e-9;

/* Bins may be this many times fewer than points and still cost little memory. */
enum { POINTS_A_BIN = 8, LEAST_BINS = 1024 };

/* Where a point lies along a line of the direction, and how far beside the zero one. */
struct axes {
    double x0, y0;
    double along[2], aside[2];
    bool one_line; /* a diagonal */
    bool moved;    /* cuts between bands lie half a band further */
    double from, to, band;
};

static bool axes_make(const struct bt_edge_search *search,
                      enum bt_edge_direction direction, struct axes *axes)
{
    const double length = search->length, width = search->width;
    const double diagonal = hypot(length, width);

    *axes = (struct axes){.x0 = search->x0, .y0 = search->y0, .band = search->band};
    switch (direction) {
    case BT_EDGE_ALONG:
        axes->along[0] = axes->aside[1] = 1;
        return true;
    case BT_EDGE_ACROSS:
        axes->along[1] = axes->aside[0] = 1;
        return true;
    case BT_EDGE_DIAGONAL_AC:
    case BT_EDGE_DIAGONAL_BD:
        if (!(length > 0) || !(width > 0) || !isfinite(diagonal))
            return false;
        axes->one_line = true;
        axes->along[0] = length / diagonal;
        axes->along[1] = width / diagonal;
        if (direction == BT_EDGE_DIAGONAL_BD) {
            axes->x0 += length;
            axes->along[0] = -axes->along[0];
        }
        axes->aside[0] = -axes->along[1];
        axes->aside[1] = axes->along[0];
        axes->band = fmax(search->band, same_offset * diagonal);
        axes->from = -axes->band / 2;
        axes->to = diagonal + axes->band / 2;
        return true;
    case BT_EDGE_OBLIQUE:
        axes->along[0] = axes->aside[1] = cos(search->angle);
        axes->along[1] = sin(search->angle);
        axes->aside[0] = -axes->along[1];
        return true;
    case BT_EDGE_DIRECTIONS:
        break;
    }
    return false;
}

static double along(const struct axes *a, const struct bt_point *p)
{
    return (p->x - a->x0) * a->along[0] + (p->y - a->y0) * a->along[1];
}

static double aside(const struct axes *a, const struct bt_point *p)
{
    return (p->x - a->x0) * a->aside[0] + (p->y - a->y0) * a->aside[1];
}

static enum bt_status check_points(size_t n, const struct bt_point p[],
                                   const double z[], struct bt_error *err)
{
    for (size_t i = 0; i < n; i++)
        if (!isnan(z[i]) && !(isfinite(p[i].x) && isfinite(p[i].y) && isfinite(z[i])))
            return bt_error_set(err, BT_EINPUT, i, 0, "point %zu is not finite", i);
    return BT_OK;
}

/* -- lines of a row or column direction -------------------------------------------- */

/* A range of offsets, of points in a bin or of a run of bins without a gap. */
struct range {
    double low, high;
    size_t line; /* the first line of the run */
};

struct bins {
    size_t n;
    double low, scale;
    struct range *bin;
};

static size_t bin_of(const struct bins *bins, double offset)
{
    const double k = (offset - bins->low) * bins->scale;

    return k < (double)bins->n ? (size_t)k : bins->n - 1;
}

static void widen(struct range *r, double offset)
{
    r->low = offset < r->low ? offset : r->low;
    r->high = offset > r->high ? offset : r->high;
}

static const struct range nothing = {INFINITY, -INFINITY, 0};

/* Bins narrower than the band, so that no gap hides in one; where that would be too
 * many, true is returned all the same and a bin may hold several lines. */
static bool bins_make(size_t n, const struct bt_point p[], const double z[],
                      struct axes *axes, struct bins *bins)
{
    struct range all = nothing;
    const size_t most = n / POINTS_A_BIN + LEAST_BINS;
    double extent, wanted;

    for (size_t i = 0; i < n; i++)
        if (!isnan(z[i]))
            widen(&all, aside(axes, &p[i]));
    extent = all.high > all.low ? all.high - all.low : 0;
    axes->band = fmax(axes->band, same_offset * extent);
    wanted = extent > 0 ? extent / axes->band + 2 : 1;
    bins->n = wanted < (double)most ? (size_t)wanted : most;
    bins->low = all.low;
    bins->scale = extent > 0 ? (double)bins->n / extent : 0;
    bins->bin = bt_alloc(bins->n, sizeof *bins->bin);
    if (!bins->bin)
        return false;
    for (size_t k = 0; k < bins->n; k++)
        bins->bin[k] = nothing;
    for (size_t i = 0; i < n; i++)
        if (!isnan(z[i]))
            widen(&bins->bin[bin_of(bins, aside(axes, &p[i]))], aside(axes, &p[i]));
    return true;
}

/* Bands that a run is cut into, none wider than the band. */
static size_t bands_of(const struct range *run, double band)
{
    const double count = ceil((run->high - run->low) / band * (1 - same_offset));

    return count > 1 ? (size_t)count : 1;
}

/* Moved cuts leave half a band at both ends. */
static size_t lines_of(const struct range *run, const struct axes *axes)
{
    const size_t bands = bands_of(run, axes->band);

    return bands > 1 && axes->moved ? bands + 1 : bands;
}

/*
 * Join bins into runs at whose ends there is a gap wider than the band, and give each
 * bin the range and first line of its run.  Returns the number of lines.
 */
static size_t join(struct bins *bins, const struct axes *axes)
{
    size_t count = 0;

    for (size_t k = 0; k < bins->n;) {
        struct range run = bins->bin[k];
        size_t end = k + 1;

        if (!(run.high >= run.low)) {
            k++;
            continue;
        }
        for (size_t q = end; q < bins->n; q++) {
            const struct range *next = &bins->bin[q];
            if (!(next->high >= next->low))
                continue;
            if (next->low - run.high > axes->band)
                break;
            widen(&run, next->high);
            end = q + 1;
        }
        run.line = count;
        count += lines_of(&run, axes);
        while (k < end)
            bins->bin[k++] = run;
    }
    return count;
}

static bool gap_may_hide(const struct bins *bins, double band)
{
    for (size_t k = 0; k < bins->n; k++)
        if (bins->bin[k].high - bins->bin[k].low > band)
            return true;
    return false;
}

static size_t line_in(const struct range *run, double offset, const struct axes *axes)
{
    const size_t bands = bands_of(run, axes->band), count = lines_of(run, axes);
    const double width = (run->high - run->low) / (double)bands;
    const double begin = axes->moved ? run->low - width / 2 : run->low;
    const size_t k = bands > 1 ? (size_t)((offset - begin) / width) : 0;

    return run->line + (k < count ? k : count - 1);
}

/* The slow way: points sorted by offset.  key[n] out, *count out. */
static enum bt_status key_sorted(size_t n, const struct bt_point p[], const double z[],
                                 const struct axes *axes, size_t key[], size_t *count)
{
    double *offset = bt_alloc(n, sizeof *offset);
    size_t *order = bt_alloc(n, sizeof *order);
    const enum bt_status status = offset && order ? BT_OK : BT_ENOMEM;
    size_t used = 0;

    for (size_t i = 0; status == BT_OK && i < n; i++)
        offset[i] = isnan(z[i]) ? INFINITY : aside(axes, &p[i]);
    if (status == BT_OK)
        gsl_sort_index(order, offset, 1, n);
    *count = 0;
    while (status == BT_OK && used < n && isfinite(offset[order[used]])) {
        struct range run = {offset[order[used]], offset[order[used]], *count};
        size_t end = used + 1;

        while (end < n && offset[order[end]] - run.high <= axes->band)
            run.high = offset[order[end++]];
        for (; used < end; used++)
            key[order[used]] = line_in(&run, offset[order[used]], axes);
        *count += lines_of(&run, axes);
    }
    for (; status == BT_OK && used < n; used++)
        key[order[used]] = *count;
    bt_free(offset);
    bt_free(order);
    return status;
}

/* Line of each point into key[n]; *count or more: of none. */
static enum bt_status key_lines(size_t n, const struct bt_point p[], const double z[],
                                struct axes *axes, size_t key[], size_t *count)
{
    struct bins bins = {0};
    enum bt_status status = BT_OK;

    if (!bins_make(n, p, z, axes, &bins))
        return BT_ENOMEM;
    if (gap_may_hide(&bins, axes->band)) {
        status = key_sorted(n, p, z, axes, key, count);
    } else {
        *count = join(&bins, axes);
        for (size_t i = 0; i < n; i++) {
            const double offset = aside(axes, &p[i]);
            key[i] = isnan(z[i])
                         ? *count
                         : line_in(&bins.bin[bin_of(&bins, offset)], offset, axes);
        }
    }
    bt_free(bins.bin);
    return status;
}

static void key_diagonal(size_t n, const struct bt_point p[], const double z[],
                         const struct axes *axes, size_t key[])
{
    const double half = axes->band / 2 * (1 + same_offset);

    for (size_t i = 0; i < n; i++) {
        const double s = along(axes, &p[i]);
        key[i] = isnan(z[i]) || !(fabs(aside(axes, &p[i])) <= half) ||
                 !(s >= axes->from) || !(s <= axes->to);
    }
}

/* -- order along each line --------------------------------------------------------- */

static bool ascending(size_t n, const double v[])
{
    for (size_t k = 1; k < n; k++)
        if (!(v[k] > v[k - 1]))
            return false;
    return true;
}

/* Sort one line by place; order[n], spare[n] are room. */
static void sort_line(size_t n, double place[], size_t item[], size_t order[],
                      size_t spare[])
{
    gsl_sort_index(order, place, 1, n);
    for (size_t k = 0; k < n; k++)
        spare[k] = item[order[k]];
    memcpy(item, spare, n * sizeof *item);
    gsl_sort(place, 1, n);
}

/* Of points at the same place keep the highest; returns how many are left. */
static size_t drop_doubles(size_t n, double place[], size_t item[], const double z[],
                           double same)
{
    size_t kept = 0;

    for (size_t k = 0; k < n; k++) {
        if (kept && place[k] - place[kept - 1] <= same) {
            if (z[item[k]] > z[item[kept - 1]])
                item[kept - 1] = item[k];
            continue;
        }
        place[kept] = place[k];
        item[kept++] = item[k];
    }
    return kept;
}

static enum bt_status put_in_order(const struct bt_point p[], const double z[],
                                   const struct axes *axes, double same,
                                   struct bt_edge_lines *lines)
{
    const size_t total = lines->start[lines->count];
    size_t longest = 0, put = 0, *order;

    for (size_t k = 0; k < lines->count; k++) {
        const size_t n = lines->start[k + 1] - lines->start[k];
        longest = n > longest ? n : longest;
    }
    lines->place = bt_alloc(total, sizeof *lines->place);
    lines->z = bt_alloc(total, sizeof *lines->z);
    order = bt_alloc(longest, 2 * sizeof *order);
    if (!lines->place || !lines->z || !order) {
        bt_free(order);
        return BT_ENOMEM;
    }
    for (size_t k = 0, from = 0; k < lines->count; k++) {
        const size_t n = lines->start[k + 1] - from;
        double *place = lines->place + put;
        size_t *item = lines->item + put, kept;

        memmove(item, lines->item + from, n * sizeof *item);
        for (size_t i = 0; i < n; i++)
            place[i] = along(axes, &p[item[i]]);
        if (!ascending(n, place))
            sort_line(n, place, item, order, order + longest);
        kept = drop_doubles(n, place, item, z, same);
        for (size_t i = 0; i < kept; i++)
            lines->z[put + i] = z[item[i]];
        from += n;
        lines->start[k] = put;
        put += kept;
    }
    lines->start[lines->count] = put;
    bt_free(order);
    return BT_OK;
}

enum bt_status bt_edge_lines_gather(size_t n, const struct bt_point p[],
                                    const double z[],
                                    const struct bt_edge_search *search,
                                    enum bt_edge_direction direction, bool moved,
                                    double same, struct bt_edge_lines *lines,
                                    struct bt_error *err)
{
    struct axes axes;
    enum bt_status status;
    size_t *key;

    memset(lines, 0, sizeof *lines);
    if (!(search->band >= 0) || !isfinite(search->band) || !isfinite(search->x0) ||
        !isfinite(search->y0))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the band's width or place is not a "
                            "number of 0 or more");
    if (direction == BT_EDGE_OBLIQUE && !isfinite(search->angle))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the angle of the edge is not finite");
    if (!axes_make(search, direction, &axes))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "there is no such direction on a panel of this size");
    axes.moved = moved;
    status = check_points(n, p, z, err);
    if (status != BT_OK)
        return status;
    key = bt_alloc(n, sizeof *key);
    lines->count = 1;
    status = key ? BT_OK : BT_ENOMEM;
    if (status == BT_OK && axes.one_line)
        key_diagonal(n, p, z, &axes, key);
    else if (status == BT_OK)
        status = key_lines(n, p, z, &axes, key, &lines->count);
    if (status == BT_OK) {
        lines->start = bt_alloc(lines->count + 1, sizeof *lines->start);
        lines->item = bt_alloc(n, sizeof *lines->item);
        status = lines->start && lines->item ? BT_OK : BT_ENOMEM;
    }
    if (status == BT_OK)
        bt_sort_by_key(lines->count, n, key, lines->start, lines->item);
    bt_free(key);
    if (status == BT_OK)
        status = put_in_order(p, z, &axes, same, lines);
    return status == BT_OK
               ? BT_OK
               : bt_error_set(err, status, 0, 0, "%s", bt_status_text(status));
}

void bt_edge_lines_clear(struct bt_edge_lines *lines)
{
    bt_free(lines->start);
    bt_free(lines->item);
    bt_free(lines->place);
    bt_free(lines->z);
    memset(lines, 0, sizeof *lines);
}
