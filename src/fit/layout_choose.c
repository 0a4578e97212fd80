/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The best layout beside others, or what stands in its way. */
#include <math.h>
#include <string.h>

#include "benchtrue/base/alloc.h"
#include "benchtrue/fit/layout.h"

/* Waste that differs by less than this is the same, mm2: rounding of doubles. */
#define SAME_AREA 1e-3
#define SAME_LENGTH 1e-6

/* A request with a rule given up; clear[] is a copy where one of them is left out. */
struct loosened {
    struct bt_layout_request request;
    struct bt_layout_clear clear[BT_LAYOUT_CLEARS];
};

static void leave_out_clear(struct loosened *out, size_t which)
{
    size_t n = 0;

    for (size_t i = 0; i < out->request.nclear; i++)
        if (i != which)
            out->clear[n++] = out->request.clear[i];
    out->request.nclear = n;
    out->request.clear = out->clear;
}

static void without(const struct bt_layout_request *r, enum bt_layout_rule rule,
                    size_t clear, struct loosened *out)
{
    out->request = *r;
    switch (rule) {
    case BT_RULE_NARROWEST:
        out->request.narrowest = 0;
        break;
    case BT_RULE_CLEAR:
        leave_out_clear(out, clear);
        break;
    case BT_RULE_CENTRE:
        out->request.centre = BT_CENTRE_ANY;
        break;
    case BT_RULE_RINGS:
        out->request.rings = BT_RINGS_ANY;
        break;
    case BT_RULE_TRIM:
        out->request.trim = BT_TRIM_ANY;
        break;
    case BT_RULE_ORDER:
        out->request.order = BT_ORDER_FREE;
        break;
    case BT_RULE_SPARE:
        out->request.spare = out->request.width_u = 0;
        break;
    case BT_RULES:
        break;
    }
}

static void without_all(const struct bt_layout_request *r, struct loosened *out)
{
    *out = (struct loosened){.request = *r};
    out->request.nclear = 0;
    for (int rule = 0; rule < BT_RULES; rule++)
        if (rule != BT_RULE_CLEAR)
            without(&out->request, (enum bt_layout_rule)rule, 0, out);
}

/* Only that rule. */
static void only(const struct bt_layout_request *r, enum bt_layout_rule rule,
                 size_t clear, struct loosened *out)
{
    without_all(r, out);
    switch (rule) {
    case BT_RULE_NARROWEST:
        out->request.narrowest = r->narrowest;
        break;
    case BT_RULE_CLEAR:
        out->clear[0] = r->clear[clear];
        out->request.clear = out->clear;
        out->request.nclear = 1;
        break;
    case BT_RULE_CENTRE:
        out->request.centre = r->centre;
        break;
    case BT_RULE_RINGS:
        out->request.rings = r->rings;
        break;
    case BT_RULE_TRIM:
        out->request.trim = r->trim;
        break;
    case BT_RULE_ORDER:
        out->request.order = r->order;
        break;
    case BT_RULE_SPARE:
        out->request.spare = r->spare;
        out->request.width_u = r->width_u;
        break;
    case BT_RULES:
        break;
    }
}

static bool is_ruled(const struct bt_layout_request *r, enum bt_layout_rule rule)
{
    switch (rule) {
    case BT_RULE_NARROWEST:
        return r->narrowest > 0;
    case BT_RULE_CLEAR:
        return r->nclear > 0;
    case BT_RULE_CENTRE:
        return r->centre != BT_CENTRE_ANY;
    case BT_RULE_RINGS:
        return r->rings != BT_RINGS_ANY;
    case BT_RULE_TRIM:
        return r->trim != BT_TRIM_ANY;
    case BT_RULE_ORDER:
        return r->order != BT_ORDER_FREE;
    case BT_RULE_SPARE:
        return r->spare > 0 || r->width_u > 0;
    case BT_RULES:
        break;
    }
    return false;
}

/* How many rules of that kind there are. */
static size_t rule_count(const struct bt_layout_request *r, enum bt_layout_rule rule)
{
    return rule == BT_RULE_CLEAR ? r->nclear : is_ruled(r, rule) ? 1 : 0;
}

/* ---- where nothing keeps the rules ---- */

static enum bt_status look_at_rule(const struct bt_layout_request *r,
                                   struct bt_layout_block *block, struct bt_error *err)
{
    struct bt_layout_plan plan;
    struct loosened loose;
    enum bt_status status;

    without(r, block->rule, block->clear, &loose);
    status = bt_layout_find(&loose.request, 0, NULL, &block->plan, err);
    block->relaxed = status == BT_OK && block->plan.found;
    if (status != BT_OK || block->relaxed)
        return status;
    only(r, block->rule, block->clear, &loose);
    status = bt_layout_find(&loose.request, 0, NULL, &plan, err);
    block->alone = status == BT_OK && !plan.found && plan.proven;
    return status;
}

static enum bt_status look_at_rules(const struct bt_layout_request *r,
                                    struct bt_layout_answer *out, struct bt_error *err)
{
    struct loosened loose;
    enum bt_status status = BT_OK;

    out->block = bt_alloc(BT_LAYOUT_BLOCKS, sizeof *out->block);
    if (!out->block)
        return bt_error_set(err, BT_ENOMEM, 0, 0, "%s", bt_status_text(BT_ENOMEM));
    for (int rule = 0; rule < BT_RULES; rule++)
        for (size_t i = 0; i < rule_count(r, (enum bt_layout_rule)rule); i++) {
            struct bt_layout_block *block = &out->block[out->nblock++];

            block->rule = (enum bt_layout_rule)rule;
            block->clear = i;
            status = look_at_rule(r, block, err);
            if (status != BT_OK)
                return status;
            out->without_found = out->without_found || block->relaxed;
        }
    if (!out->without_found) {
        without_all(r, &loose);
        status = bt_layout_find(&loose.request, 0, NULL, &out->all, err);
        out->without_found = status == BT_OK && out->all.found;
    }
    return status;
}

/* ---- others beside the best ---- */

static bool same_layout(const struct bt_layout_plan *a, const struct bt_layout_plan *b)
{
    if (a->n != b->n || !(fabs(a->trim_back - b->trim_back) <= SAME_LENGTH))
        return false;
    for (size_t k = 0; k < a->n; k++)
        if (a->board[k] != b->board[k] || a->turned[k] != b->turned[k])
            return false;
    return true;
}

static void keep_other(struct bt_layout_answer *out,
                       const struct bt_layout_other *other)
{
    if (!other->plan.found || out->nother == BT_LAYOUT_OTHERS ||
        same_layout(&other->plan, &out->best))
        return;
    for (size_t i = 0; i < out->nother; i++)
        if (same_layout(&other->plan, &out->other[i].plan))
            return;
    out->other[out->nother++] = *other;
}

static enum bt_status other_boards(const struct bt_layout_request *r,
                                   struct bt_layout_answer *out, struct bt_error *err)
{
    const unsigned long long used = bt_layout_set(&out->best);
    struct bt_layout_other other = {.way = BT_WAY_OTHER_BOARDS};
    enum bt_status status = bt_layout_find(r, 1, &used, &other.plan, err);

    if (status == BT_OK)
        keep_other(out, &other);
    return status;
}

static enum bt_status other_trim(const struct bt_layout_request *r,
                                 struct bt_layout_answer *out, struct bt_error *err)
{
    const bool equal = fabs(out->best.first - out->best.last) <= SAME_LENGTH;
    struct bt_layout_other other = {.way =
                                        equal ? BT_WAY_ONE_EDGE : BT_WAY_EQUAL_STRIPS};
    struct bt_layout_request changed = *r;
    enum bt_status status;

    changed.trim = equal ? BT_TRIM_BACK : BT_TRIM_EQUAL;
    status = bt_layout_find(&changed, 0, NULL, &other.plan, err);
    if (status == BT_OK && equal && !other.plan.found) {
        changed.trim = BT_TRIM_FRONT;
        status = bt_layout_find(&changed, 0, NULL, &other.plan, err);
    }
    if (status == BT_OK)
        keep_other(out, &other);
    return status;
}

/* The rule that costs most wood. */
static enum bt_status other_rule(const struct bt_layout_request *r,
                                 struct bt_layout_answer *out, struct bt_error *err)
{
    struct bt_layout_other dearest = {.way = BT_WAY_WITHOUT};
    double waste = out->best.waste - SAME_AREA;

    for (int rule = 0; rule < BT_RULES; rule++)
        for (size_t i = 0; i < rule_count(r, (enum bt_layout_rule)rule); i++) {
            struct bt_layout_plan plan;
            struct loosened loose;
            enum bt_status status;

            without(r, (enum bt_layout_rule)rule, i, &loose);
            status = bt_layout_find(&loose.request, 0, NULL, &plan, err);
            if (status != BT_OK)
                return status;
            if (!plan.found || !(plan.waste < waste))
                continue;
            waste = plan.waste;
            dearest.rule = (enum bt_layout_rule)rule;
            dearest.clear = i;
            dearest.plan = plan;
        }
    keep_other(out, &dearest);
    return BT_OK;
}

static enum bt_status other_listed(const struct bt_layout_request *r,
                                   struct bt_layout_answer *out, struct bt_error *err)
{
    struct bt_layout_other other = {.way = BT_WAY_LISTED};
    struct bt_layout_request changed = *r;
    enum bt_status status;

    if (r->order == BT_ORDER_LISTED)
        return BT_OK;
    changed.order = BT_ORDER_LISTED;
    status = bt_layout_find(&changed, 0, NULL, &other.plan, err);
    if (status == BT_OK)
        keep_other(out, &other);
    return status;
}

/* What no rule asks for and can be had. */
static enum bt_status more_rules(const struct bt_layout_request *r,
                                 struct bt_layout_answer *out, struct bt_error *err)
{
    enum bt_status status = BT_OK;
    bool known = false;

    for (size_t i = 0; i < r->nboard; i++)
        known = known || r->board[i].rings != BT_RINGS_UNKNOWN;
    for (int centre = 0; centre < 2 && status == BT_OK; centre++) {
        struct bt_layout_other other = {.way = centre ? BT_WAY_CENTRE : BT_WAY_RINGS};
        struct bt_layout_request changed = *r;

        if (out->nother == BT_LAYOUT_OTHERS ||
            (centre ? r->centre != BT_CENTRE_ANY : r->rings != BT_RINGS_ANY || !known))
            continue;
        if (centre)
            changed.centre = BT_CENTRE_BOARD;
        else
            changed.rings = BT_RINGS_ALTERNATE;
        status = bt_layout_find(&changed, 0, NULL, &other.plan, err);
        if (status == BT_OK)
            keep_other(out, &other);
    }
    return status;
}

/* How much all boards that are long enough are too narrow for it. */
static void find_missing(const struct bt_layout_request *r,
                         struct bt_layout_answer *out)
{
    double sum = 2 * r->jointing;
    size_t n = 0;

    for (size_t i = 0; i < r->nboard; i++) {
        if (r->board[i].length < r->length) {
            out->too_short++;
            continue;
        }
        sum += fmax(r->board[i].width - 2 * r->jointing, 0);
        n++;
    }
    out->missing = n ? r->width - sum : r->width;
    if (!(out->missing > SAME_LENGTH))
        out->missing = 0;
}

enum bt_status bt_layout_choose(const struct bt_layout_request *request,
                                struct bt_layout_answer *out, struct bt_error *err)
{
    enum bt_status status;

    memset(out, 0, sizeof *out);
    status = bt_layout_find(request, 0, NULL, &out->best, err);
    if (status == BT_OK)
        find_missing(request, out);
    if (status == BT_OK && out->best.found) {
        status = other_boards(request, out, err);
        if (status == BT_OK)
            status = other_trim(request, out, err);
        if (status == BT_OK)
            status = other_rule(request, out, err);
        if (status == BT_OK)
            status = other_listed(request, out, err);
        if (status == BT_OK)
            status = more_rules(request, out, err);
    } else if (status == BT_OK && !(out->missing > 0)) {
        status = look_at_rules(request, out, err);
    }
    if (status != BT_OK)
        bt_layout_answer_clear(out);
    return status;
}

void bt_layout_answer_clear(struct bt_layout_answer *answer)
{
    if (!answer)
        return;
    bt_free(answer->block);
    memset(answer, 0, sizeof *answer);
}
