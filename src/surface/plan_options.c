/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "surface/plan_private.h"

/* A place this far beside the line through its ends is not on it, mm: places that were
 * typed are rounded, to 0.1 mm or 1/64 in at best. */
#define BESIDE 0.5

/* Lines along (and across) at this many offsets at most; set-ups over this many
 * stations a side at most. */
enum { OFFSETS = 5, SETUP_SIDE = 5, STICKS_MOST = 4 };

size_t plan_readings_of(enum bt_plan_kind kind, size_t n)
{
    switch (kind) {
    case BT_PLAN_LINE:
    case BT_PLAN_SETUP:
        return n;
    case BT_PLAN_BAR:
        return n - 2;
    case BT_PLAN_LEVEL:
        return n - 1;
    case BT_PLAN_STICKS:
    case BT_PLAN_KINDS:
        break;
    }
    return 1;
}

double plan_cost_of(enum bt_plan_kind kind, size_t n)
{
    const double readings = (double)plan_readings_of(kind, n);

    switch (kind) {
    case BT_PLAN_LINE:
        return readings + BT_PLAN_COST_LINE;
    case BT_PLAN_SETUP:
        return readings + BT_PLAN_COST_SETUP;
    case BT_PLAN_BAR:
    case BT_PLAN_LEVEL:
        return readings * (1 + BT_PLAN_COST_BAR);
    case BT_PLAN_STICKS:
    case BT_PLAN_KINDS:
        break;
    }
    return readings + BT_PLAN_COST_STICKS;
}

static enum bt_status add_option(struct plan_world *w, size_t instrument, size_t family,
                                 size_t n, const size_t point[])
{
    const enum bt_plan_kind kind = w->request->instrument[instrument].kind;
    struct plan_option *option =
        bt_grow(w->option, &w->option_room, w->noption + 1, sizeof *option);
    size_t *place;

    if (!option)
        return BT_ENOMEM;
    w->option = option;
    place = bt_grow(w->place, &w->place_room, w->nplace + n, sizeof *place);
    if (!place)
        return BT_ENOMEM;
    w->place = place;
    memcpy(place + w->nplace, point, n * sizeof *place);
    option[w->noption++] = (struct plan_option){.instrument = instrument,
                                                .kind = kind,
                                                .family = family,
                                                .first = w->nplace,
                                                .n = n,
                                                .nreading = plan_readings_of(kind, n),
                                                .cost = plan_cost_of(kind, n)};
    w->nplace += n;
    return BT_OK;
}

/* One run of places, and the same at every second and every fourth of them.  A bar
 * cannot leave places out. */
static enum bt_status add_run(struct plan_world *w, size_t instrument, size_t n,
                              const size_t point[])
{
    const size_t family = w->nfamily++;
    enum bt_status status = BT_OK;

    for (size_t stride = 1; status == BT_OK && (n - 1) % stride == 0; stride *= 2) {
        size_t kept[PLAN_STATIONS], m = 0;

        if (stride > 1 && ((n - 1) / stride < 2 ||
                           w->request->instrument[instrument].kind == BT_PLAN_BAR))
            break;
        for (size_t i = 0; i < n; i += stride)
            kept[m++] = point[i];
        status = add_option(w, instrument, family, m, kept);
    }
    return status;
}

static double apart(const struct plan_world *w, size_t a, size_t b)
{
    return hypot(w->point[a].x - w->point[b].x, w->point[a].y - w->point[b].y);
}

/* A line as long as the edge allows, each time beginning at the next place. */
static enum bt_status add_line(struct plan_world *w, size_t instrument, size_t n,
                               const size_t point[])
{
    const struct bt_plan_instrument *i = &w->request->instrument[instrument];
    size_t end = 0;

    if (n < 3)
        return BT_OK;
    if (i->kind != BT_PLAN_LINE || !(i->reach < apart(w, point[0], point[n - 1])))
        return add_run(w, instrument, n, point);
    for (size_t from = 0; from + 2 < n; from++) {
        size_t to = from;
        enum bt_status status;

        while (to + 1 < n && apart(w, point[from], point[to + 1]) <= i->reach)
            to++;
        if (to < from + 2 || to == end)
            continue; /* too short, or part of the one before */
        end = to;
        status = add_run(w, instrument, to - from + 1, point + from);
        if (status != BT_OK)
            return status;
    }
    return BT_OK;
}

/* The k-th of `most` evenly spread out of n stations. */
static size_t spread(size_t k, size_t most, size_t n)
{
    return most < n ? k * (n - 1) / (most - 1) : k;
}

static enum bt_status add_along_across(struct plan_world *w, size_t instrument)
{
    const size_t rows = w->ny < OFFSETS ? w->ny : OFFSETS;
    const size_t columns = w->nx < OFFSETS ? w->nx : OFFSETS;
    size_t point[PLAN_STATIONS];
    enum bt_status status = BT_OK;

    for (size_t k = 0; k < rows && status == BT_OK; k++) {
        const size_t j = spread(k, rows, w->ny);
        for (size_t i = 0; i < w->nx; i++)
            point[i] = w->grid[j * w->nx + i];
        status = add_line(w, instrument, w->nx, point);
    }
    for (size_t k = 0; k < columns && status == BT_OK; k++) {
        const size_t i = spread(k, columns, w->nx);
        for (size_t j = 0; j < w->ny; j++)
            point[j] = w->grid[j * w->nx + i];
        status = add_line(w, instrument, w->ny, point);
    }
    return status;
}

/* Places of the grid on a diagonal; up: from the back right to the front left. */
static enum bt_status add_diagonal(struct plan_world *w, size_t instrument, bool up)
{
    const struct bt_point *from = &w->point[w->grid[up ? w->nx - 1 : 0]];
    const struct bt_point *to =
        &w->point[w->grid[(w->ny - 1) * w->nx + (up ? 0 : w->nx - 1)]];
    const double dx = to->x - from->x, dy = to->y - from->y, length = hypot(dx, dy);
    size_t point[PLAN_STATIONS], n = 0;

    for (size_t j = 0; j < w->ny; j++)
        for (size_t k = 0; k < w->nx; k++) {
            const size_t p = w->grid[j * w->nx + (up ? w->nx - 1 - k : k)];
            const double off =
                ((w->point[p].x - from->x) * dy - (w->point[p].y - from->y) * dx) /
                length;
            if (fabs(off) <= BESIDE && n < PLAN_STATIONS)
                point[n++] = p;
        }
    return add_line(w, instrument, n, point);
}

/* A set-up over columns from .. to of the grid, every stride-th, twice: one set-up by
 * itself checks nothing. */
static enum bt_status add_setup(struct plan_world *w, size_t instrument, size_t from,
                                size_t to)
{
    size_t sx = (to - from + SETUP_SIDE - 1) / (SETUP_SIDE - 1);
    size_t sy = (w->ny + SETUP_SIDE - 2) / (SETUP_SIDE - 1);
    enum bt_status status = BT_OK;

    while ((to - from) % sx)
        sx++;
    while ((w->ny - 1) % sy)
        sy++;
    for (int copy = 0; copy < 2 && status == BT_OK; copy++) {
        const size_t family = w->nfamily++;
        for (size_t thin = 1; thin <= 2 && status == BT_OK; thin++) {
            size_t point[PLAN_STATIONS * PLAN_STATIONS], n = 0;
            if (thin == 2 &&
                ((to - from) / sx % 2 || (w->ny - 1) / sy % 2 || (to - from) / sx < 4))
                break;
            for (size_t j = 0; j < w->ny; j += sy * thin)
                for (size_t k = 0; k <= to - from; k += sx * thin) {
                    const bool back = j / (sy * thin) % 2; /* to and fro */
                    point[n++] = w->grid[j * w->nx + (back ? to - k : from + k)];
                }
            status = add_option(w, instrument, family, n, point);
        }
    }
    return status;
}

static enum bt_status add_setups(struct plan_world *w, size_t instrument)
{
    const double reach = w->request->instrument[instrument].reach;
    size_t end = 0;
    enum bt_status status = BT_OK;

    for (size_t from = 0; from + 1 < w->nx && status == BT_OK; from++) {
        size_t to = from;
        while (to + 1 < w->nx &&
               !(hypot(w->x[to + 1] - w->x[from], w->y[w->ny - 1] - w->y[0]) > reach))
            to++;
        if (to <= from || to == end)
            continue;
        end = to;
        status = add_setup(w, instrument, from, to);
    }
    return status;
}

/* Sticks at the ends, up to so many times. */
static enum bt_status add_sticks(struct plan_world *w, size_t instrument)
{
    const size_t last = (w->ny - 1) * w->nx;
    const size_t point[4] = {w->grid[0], w->grid[last], w->grid[w->nx - 1],
                             w->grid[last + w->nx - 1]};
    enum bt_status status = BT_OK;

    for (int copy = 0; copy < STICKS_MOST && status == BT_OK; copy++)
        status = add_option(w, instrument, w->nfamily++, 4, point);
    return status;
}

/* Lines over grid cells, corner to corner of each, through a third of the stations:
 * what a short edge can see of the twist. */
static enum bt_status add_obliques(struct plan_world *w, size_t instrument)
{
    const size_t spare = w->nx > w->ny ? w->nx - w->ny : 0;
    enum bt_status status = BT_OK;

    for (size_t k = 0; k < 3 && status == BT_OK; k++) {
        const size_t from = k * spare / 2;
        size_t point[PLAN_STATIONS], n = 0;

        if (k > 0 && from == (k - 1) * spare / 2)
            continue;
        for (int up = 0; up < 2 && status == BT_OK; up++) {
            n = 0;
            for (size_t j = 0; j < w->ny && from + j < w->nx; j++)
                point[n++] =
                    w->grid[j * w->nx + (up ? w->nx - 1 - from - j : from + j)];
            status = add_line(w, instrument, n, point);
        }
    }
    return status;
}

/* Both diagonals.  An edge lies on each twice, because nothing else under it shows the
 * twist; a short one lies on what it can. */
static enum bt_status add_diagonals(struct plan_world *w, size_t instrument)
{
    const struct bt_plan_instrument *i = &w->request->instrument[instrument];
    const double far = hypot(w->x[w->nx - 1] - w->x[0], w->y[w->ny - 1] - w->y[0]);
    const int copies = i->kind == BT_PLAN_LINE ? 2 : 1;
    enum bt_status status = BT_OK;

    if (i->kind == BT_PLAN_LINE && i->reach < far)
        return add_obliques(w, instrument);
    for (int copy = 0; copy < copies && status == BT_OK; copy++) {
        status = add_diagonal(w, instrument, false);
        if (status == BT_OK)
            status = add_diagonal(w, instrument, true);
    }
    return status;
}

enum bt_status plan_options_add(struct plan_world *w, size_t instrument)
{
    enum bt_status status = BT_OK;

    switch (w->request->instrument[instrument].kind) {
    case BT_PLAN_LINE:
    case BT_PLAN_LEVEL:
        status = add_along_across(w, instrument);
        return status == BT_OK ? add_diagonals(w, instrument) : status;
    case BT_PLAN_BAR:
        return add_along_across(w, instrument);
    case BT_PLAN_SETUP:
        return add_setups(w, instrument);
    case BT_PLAN_STICKS:
    case BT_PLAN_KINDS:
        break;
    }
    return add_sticks(w, instrument);
}
