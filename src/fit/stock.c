/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/fit/stock.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"

const char *bt_stock_reading_name(enum bt_stock_reading reading)
{
    static const char *const names[BT_STOCK_READINGS] = {"thickness", "cup",   "bow",
                                                         "twist",     "crook", "taper"};

    return (int)reading >= 0 && reading < BT_STOCK_READINGS ? names[reading] : NULL;
}

const char *bt_stock_way_name(enum bt_stock_way way)
{
    static const char *const names[BT_STOCK_WAYS] = {
        "whole", "cut first", "ripped first", "cut and ripped first"};

    return (int)way >= 0 && way < BT_STOCK_WAYS ? names[way] : NULL;
}

struct bt_stock_setup bt_stock_none(void)
{
    return (struct bt_stock_setup){
        .thickness = NAN,
        .jointer_width = NAN,
        .planer_width = NAN,
        .jointer_least_length = bt_stock_rule(BT_RULE_JOINTER_LENGTH)->value,
        .planer_least_length = bt_stock_rule(BT_RULE_PLANER_LENGTH)->value,
        .planer_least_thickness = bt_stock_rule(BT_RULE_PLANER_THICKNESS)->value};
}

static double or_zero(double value)
{
    return isnan(value) ? 0 : value;
}

/* One board in hand. */
struct work {
    const struct bt_stock_request *request;
    const struct bt_rough_board *board;
    double dries, u_dries;
};

/* How thick it is on both faces where a part of it is surfaced. */
static void surface_part(const struct work *w, double length, double width,
                         struct bt_stock_piece *piece)
{
    const struct bt_rough_board *b = w->board;
    const double allowance = w->request->setup->allowance;
    const struct bt_warp warp = {b->size[BT_STOCK_BOW], b->size[BT_STOCK_CUP],
                                 b->size[BT_STOCK_TWIST]},
                         u = {b->u[BT_STOCK_BOW], b->u[BT_STOCK_CUP],
                              b->u[BT_STOCK_TWIST]};
    const struct bt_measured zone =
        bt_warp_part_zone(&warp, &u, length / b->length, width / b->width);
    const double u_t = or_zero(b->u[BT_STOCK_THICKNESS]);

    piece->there = true;
    piece->length = length;
    piece->width = width;
    piece->off = zone.value;
    piece->u_off = zone.u;
    piece->one = b->size[BT_STOCK_THICKNESS] - w->dries - zone.value - allowance;
    piece->both = piece->one - allowance;
    piece->u = sqrt(zone.u * zone.u + u_t * u_t + w->u_dries * w->u_dries);
    piece->p = NAN;
    if (isnan(w->request->wanted))
        return;
    if (piece->u > 0)
        piece->p = gsl_cdf_ugaussian_P((piece->both - w->request->wanted) / piece->u);
    else
        piece->p = piece->both >= w->request->wanted ? 1 : 0;
}

/* ---- pieces ---- */

/* Length of so many pieces with the cuts between them. */
static double length_of(const struct work *w, size_t pieces)
{
    return (double)pieces * w->board->cut + (double)(pieces - 1) * w->request->kerf;
}

/* The least that both machines take. */
static double least_length(const struct work *w)
{
    return fmax(or_zero(w->request->setup->jointer_least_length),
                or_zero(w->request->setup->planer_least_length));
}

static size_t pieces_together(const struct work *w)
{
    size_t m = 1;

    while (m < w->board->pieces && length_of(w, m) < least_length(w))
        m++;
    return m;
}

static enum bt_stock_way planned_way(const struct bt_rough_board *board)
{
    const bool cut = !isnan(board->cut), rip = !isnan(board->rip);

    return cut && rip ? BT_STOCK_CUT_RIPPED
           : cut      ? BT_STOCK_CUT
           : rip      ? BT_STOCK_RIPPED
                      : BT_STOCK_WHOLE;
}

static void find_pieces(const struct work *w, struct bt_stock_board *out)
{
    static const struct bt_stock_piece none = {false, NAN, NAN, 1,   NAN,
                                               NAN,   NAN, NAN, NAN, NAN};
    const struct bt_rough_board *b = w->board;

    for (int way = 0; way < BT_STOCK_WAYS; way++) {
        const bool cut = way == BT_STOCK_CUT || way == BT_STOCK_CUT_RIPPED,
                   rip = way == BT_STOCK_RIPPED || way == BT_STOCK_CUT_RIPPED;
        const size_t together = cut && !isnan(b->cut) ? pieces_together(w) : 1;

        out->piece[way] = none;
        if ((cut && isnan(b->cut)) || (rip && isnan(b->rip)))
            continue;
        surface_part(w, cut ? fmin(length_of(w, together), b->length) : b->length,
                     rip ? b->rip : b->width, &out->piece[way]);
        out->piece[way].together = together;
    }
    out->planned = out->first = planned_way(b);
    if (out->planned == BT_STOCK_CUT_RIPPED)
        out->first = out->piece[BT_STOCK_RIPPED].both > out->piece[BT_STOCK_CUT].both
                         ? BT_STOCK_RIPPED
                         : BT_STOCK_CUT;
}

/* ---- what would do ---- */

/* Whether a part of that size makes the wanted thickness. */
static bool makes(const struct work *w, double length, double width)
{
    struct bt_stock_piece piece;

    surface_part(w, length, width, &piece);
    return piece.p >= w->request->confidence;
}

/* The largest share of a side with which it does: the zone, and its u, grow with it. */
static double largest_share(const struct work *w, double length, double width,
                            bool along)
{
    /* to a thousandth of the side: finer than anybody cuts */
    const double fine = 1e-3;
    double low = 0, high = 1;

    if (makes(w, length, width))
        return 1;
    if (!makes(w, along ? length * fine : length, along ? width : width * fine))
        return NAN;
    while (high - low > fine / 2) {
        const double middle = (low + high) / 2;

        if (makes(w, along ? length * middle : length, along ? width : width * middle))
            low = middle;
        else
            high = middle;
    }
    return low;
}

static void find_what_would_do(const struct work *w, struct bt_stock_board *out)
{
    const struct bt_stock_piece *piece = &out->piece[out->planned];

    out->longest = out->narrowest = NAN;
    if (isnan(w->request->wanted))
        return;
    out->longest =
        w->board->length * largest_share(w, w->board->length, piece->width, true);
    out->narrowest =
        w->board->width * largest_share(w, piece->length, w->board->width, false);
}

static void find_width(const struct work *w, struct bt_stock_board *out)
{
    const struct bt_rough_board *b = w->board;
    const double share = out->piece[out->planned].length / b->length,
                 kerf = w->request->kerf;

    out->straight = b->width - or_zero(b->size[BT_STOCK_CROOK]) * share * share;
    out->strips = 0;
    if (isnan(b->rip))
        return;
    /* a rounding must not lose a strip that just fits */
    out->strips =
        (size_t)fmax(0, floor((out->straight + kerf) / (b->rip + kerf) * (1 + 1e-12)));
    if (out->strips == 0)
        out->trouble |= BT_STOCK_NO_STRIP;
}

static void find_trouble(const struct work *w, struct bt_stock_board *out)
{
    const struct bt_stock_setup *s = w->request->setup;
    const struct bt_stock_piece *piece = &out->piece[out->planned];
    const double last = isnan(w->request->wanted) ? piece->both : w->request->wanted;

    if (piece->length < s->jointer_least_length)
        out->trouble |= BT_STOCK_SHORT_FOR_JOINTER;
    if (piece->length < s->planer_least_length)
        out->trouble |= BT_STOCK_SHORT_FOR_PLANER;
    if (last < s->planer_least_thickness)
        out->trouble |= BT_STOCK_THIN_FOR_PLANER;
    if (piece->width > s->jointer_width)
        out->trouble |= BT_STOCK_WIDE_FOR_JOINTER;
    if (piece->width > s->planer_width)
        out->trouble |= BT_STOCK_WIDE_FOR_PLANER;
}

/* ---- one board ---- */

static struct work work_on(const struct bt_stock_request *request, size_t i)
{
    const struct bt_rough_board *board = &request->setup->board[i];
    struct work w = {request, board, 0, 0};
    const double damp = board->moisture - request->room;

    /* A board that is drier than the room is not counted on to swell. */
    if (request->c && damp > 0 && request->c[i] > 0) {
        w.dries = board->size[BT_STOCK_THICKNESS] * request->c[i] * damp;
        w.u_dries = board->size[BT_STOCK_THICKNESS] * damp *
                    or_zero(request->u_c ? request->u_c[i] : NAN);
    }
    return w;
}

static void find_board(const struct bt_stock_request *request, size_t i,
                       struct bt_stock_board *out)
{
    const struct work w = work_on(request, i);
    const double *size = w.board->size;

    memset(out, 0, sizeof *out);
    out->dries = w.dries;
    out->seen = !isnan(size[BT_STOCK_CUP]) && !isnan(size[BT_STOCK_BOW]) &&
                !isnan(size[BT_STOCK_TWIST]);
    out->scant =
        w.board->nominal ? w.board->nominal->rough - size[BT_STOCK_THICKNESS] : NAN;
    find_pieces(&w, out);
    find_what_would_do(&w, out);
    find_width(&w, out);
    find_trouble(&w, out);
}

/* ---- the panel ---- */

static const struct bt_stock_piece *planned(const struct bt_stock *stock, size_t i)
{
    return &stock->board[i].piece[stock->board[i].planned];
}

static double p_all(const struct bt_stock *stock, double thickness)
{
    double p = 1;

    for (size_t i = 0; i < stock->n; i++) {
        const struct bt_stock_piece *piece = planned(stock, i);

        if (piece->u > 0)
            p *= gsl_cdf_ugaussian_P((piece->both - thickness) / piece->u);
        else if (!(piece->both >= thickness))
            p = 0;
    }
    return p;
}

/* p falls as the thickness grows; it is found between two that enclose it. */
static double sure_thickness(const struct bt_stock *stock, double confidence)
{
    const double far = gsl_cdf_ugaussian_Qinv((1 - confidence) / (double)stock->n);
    double low = INFINITY, high = INFINITY;

    for (size_t i = 0; i < stock->n; i++) {
        const struct bt_stock_piece *piece = planned(stock, i);

        low = fmin(low, piece->both - far * piece->u);
        high = fmin(high, piece->both);
    }
    for (int i = 0; i < 60; i++) {
        const double middle = (low + high) / 2;

        if (p_all(stock, middle) >= confidence)
            low = middle;
        else
            high = middle;
    }
    return low;
}

static double least_without(const struct bt_stock *stock, size_t left_out)
{
    double least = INFINITY;

    for (size_t i = 0; i < stock->n; i++)
        if (i != left_out)
            least = fmin(least, planned(stock, i)->both);
    return least;
}

static void find_common(const struct bt_stock_request *request, struct bt_stock *stock)
{
    struct bt_stock_common *common = &stock->common;
    const struct bt_stock_piece *piece;
    struct bt_stock_piece half;
    struct work w;
    double rest;

    for (size_t i = 1; i < stock->n; i++)
        if (planned(stock, i)->both < planned(stock, common->limiting)->both)
            common->limiting = i;
    piece = planned(stock, common->limiting);
    rest = least_without(stock, common->limiting);
    common->thickness = piece->both;
    common->u = piece->u;
    common->sure = sure_thickness(stock, request->confidence);
    common->p = isnan(request->wanted) ? (double)NAN : p_all(stock, request->wanted);
    common->without = stock->n > 1 ? rest : (double)NAN;
    w = work_on(request, common->limiting);
    common->shorter = common->narrower = NAN;
    if ((piece->length - request->kerf) / 2 >= least_length(&w)) {
        surface_part(&w, (piece->length - request->kerf) / 2, piece->width, &half);
        common->shorter = fmin(rest, half.both);
    }
    if (piece->width > request->kerf) {
        surface_part(&w, piece->length, (piece->width - request->kerf) / 2, &half);
        common->narrower = fmin(rest, half.both);
    }
}

/* ---- all ---- */

static enum bt_status check(const struct bt_stock_request *request,
                            struct bt_error *err)
{
    const struct bt_stock_setup *s = request->setup;

    if (s->n == 0)
        return bt_error_set(err, BT_EINPUT, 0, 0, "no rough board");
    if (!(request->kerf >= 0) || !(s->allowance >= 0))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "kerf and allowance must be 0 or more");
    if (!(request->confidence > 0.5) || !(request->confidence < 1))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the confidence must be above 0.5 and below 1");
    for (size_t i = 0; i < s->n; i++) {
        const struct bt_rough_board *b = &s->board[i];

        if (!(b->length > 0) || !(b->width > 0) || !(b->size[BT_STOCK_THICKNESS] > 0) ||
            !isfinite(b->length + b->width + b->size[BT_STOCK_THICKNESS]))
            return bt_error_set(err, BT_EINPUT, i, 0,
                                "length, width and thickness must be over 0 mm");
    }
    return BT_OK;
}

enum bt_status bt_stock_find(const struct bt_stock_request *request,
                             struct bt_stock *out, struct bt_error *err)
{
    struct bt_stock stock = {.n = request->setup->n};
    enum bt_status status = check(request, err);

    if (status != BT_OK)
        return status;
    stock.board = bt_alloc(stock.n, sizeof *stock.board);
    if (!stock.board)
        return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    for (size_t i = 0; i < stock.n; i++)
        find_board(request, i, &stock.board[i]);
    find_common(request, &stock);
    *out = stock;
    return BT_OK;
}

void bt_stock_clear(struct bt_stock *stock)
{
    if (!stock)
        return;
    bt_free(stock->board);
    memset(stock, 0, sizeof *stock);
}
