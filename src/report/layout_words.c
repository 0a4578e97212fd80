/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/layout_words.h"

#include <math.h>
#include <stdint.h>

#include "report/joint_words.h"

const char *bt_layout_rule_name(enum bt_layout_rule rule)
{
    static const char *const names[] = {"narrowest", "clear", "centre", "rings",
                                        "trim",      "order", "spare"};

    return (unsigned)rule < BT_RULES ? names[rule] : "no rule";
}

const char *bt_layout_way_name(enum bt_layout_way way)
{
    static const char *const names[] = {
        "other boards",   "equal outer strips", "one edge kept",      "as listed",
        "without a rule", "rings alternate",    "board at the centre"};

    return names[way];
}

const char *bt_side_words(int side)
{
    static const char *const names[] = {"back edge", "right end", "front edge",
                                        "left end"};

    return names[side & 3];
}

static void say_clear(struct bt_buffer *out, const struct bt_layout_report *r,
                      size_t clear, enum bt_system system)
{
    const size_t cutout = r->clear_cutout[clear];

    bt_buffer_text(out, "no joint within ");
    bt_say_rule(out, r->clear[clear].within, system);
    bt_buffer_text(out, " of ");
    bt_say_rule(out, r->clear[clear].y, system);
    if (cutout == SIZE_MAX)
        return;
    bt_buffer_text(out, " (cut-out ");
    bt_buffer_name(out, r->job->layout.cutout[cutout].name);
    bt_buffer_text(out, ")");
}

static void say_trim(struct bt_buffer *out, enum bt_layout_trim trim)
{
    bt_buffer_text(out, trim == BT_TRIM_EQUAL  ? "equal outer strips"
                        : trim == BT_TRIM_BACK ? "trimmed at the back alone"
                                               : "trimmed at the front alone");
}

void bt_say_layout_rule(struct bt_buffer *out, const struct bt_layout_report *r,
                        enum bt_layout_rule rule, size_t clear, enum bt_system system)
{
    const struct bt_layout_request *q = &r->request;

    switch (rule) {
    case BT_RULE_NARROWEST:
        bt_buffer_text(out, "no strip narrower than ");
        bt_say_rule(out, q->narrowest, system);
        break;
    case BT_RULE_CLEAR:
        say_clear(out, r, clear, system);
        break;
    case BT_RULE_CENTRE:
        bt_buffer_text(out, q->centre == BT_CENTRE_BOARD ? "a board at the centre"
                                                         : "a joint at the centre");
        break;
    case BT_RULE_RINGS:
        bt_buffer_text(out, q->rings == BT_RINGS_ALTERNATE ? "rings alternate"
                                                           : "rings all one way");
        break;
    case BT_RULE_TRIM:
        say_trim(out, q->trim);
        break;
    case BT_RULE_ORDER:
        bt_buffer_text(out, "boards in the order listed");
        break;
    case BT_RULE_SPARE:
        bt_buffer_text(out,
                       "width to spare for what is not known of the boards' widths");
        break;
    case BT_RULES:
        break;
    }
}

void bt_say_layout_boards(struct bt_buffer *out, const struct bt_layout_report *r,
                          const struct bt_layout_plan *plan)
{
    for (size_t k = 0; k < plan->n; k++) {
        bt_buffer_text(out, k ? ", " : "");
        bt_buffer_name(out, r->job->board[plan->board[k]].name);
        bt_buffer_text(out, plan->turned[k] ? " turned" : "");
    }
}

static void say_other(struct bt_buffer *out, const struct bt_layout_report *r,
                      const struct bt_cutout_check *c, enum bt_system system)
{
    bt_say_rule(out, c->other, system);
    bt_buffer_text(out, " from cut-out ");
    bt_buffer_name(out, r->job->layout.cutout[c->other_index].name);
    bt_buffer_text(out, ", under ");
    bt_say_rule(out, r->beside, system);
}

static void say_fixing(struct bt_buffer *out, const struct bt_layout_report *r,
                       const struct bt_cutout_check *c, enum bt_system system)
{
    const struct bt_fixing *f = &r->job->fixing.fixing[c->fixing_index];

    bt_say_rule(out, c->fixing, system);
    bt_buffer_text(out, " from the screw of ");
    if (*f->name)
        bt_buffer_name(out, f->name);
    else
        bt_buffer_format(out, "line %zu of fixings.csv", f->line);
    bt_buffer_text(out, ", under ");
    bt_say_rule(out, r->clearance, system);
}

void bt_say_cutout_fault(struct bt_buffer *out, const struct bt_layout_report *r,
                         size_t cutout, enum bt_cutout_fault fault,
                         enum bt_system system)
{
    const struct bt_cutout_check *c = &r->cut[cutout];
    const bool notch = r->job->layout.cutout[cutout].shape == BT_CUT_NOTCH;

    switch (fault) {
    case BT_CUT_OUTSIDE:
        bt_buffer_text(out,
                       notch ? "cuts no edge of the piece" : "is not inside the piece");
        break;
    case BT_CUT_NEAR_EDGE:
        bt_say_rule(out, c->edge, system);
        bt_buffer_format(out, " from the %s, under ", bt_side_words(c->edge_side));
        bt_say_rule(out, r->beside, system);
        break;
    case BT_CUT_ON_JOINT:
        bt_buffer_format(out,
                         c->crossed ? "joint %zu goes through it or along its edge"
                                    : "joint %zu lies along its edge",
                         c->joint_index + 1);
        break;
    case BT_CUT_NEAR_OTHER:
        say_other(out, r, c, system);
        break;
    case BT_CUT_NEAR_FIXING:
        say_fixing(out, r, c, system);
        break;
    }
}
