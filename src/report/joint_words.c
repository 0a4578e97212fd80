/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/joint_words.h"

#include <math.h>

#include "benchtrue/base/quantity.h"

void bt_say_length(struct bt_buffer *out, double mm, double u, enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    bt_buffer_text(out, bt_print_length(text, mm, u, system, BT_LENGTH_FEELER));
}

void bt_say_measured(struct bt_buffer *out, const struct bt_measured *m,
                     enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    if (!m->seen) {
        bt_buffer_text(out, "not seen");
        return;
    }
    bt_say_length(out, fabs(m->value), m->u, system);
    bt_buffer_format(out, " (u %s)", bt_print_u_bare(text, m->u, system));
}

void bt_say_rule(struct bt_buffer *out, double mm, enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    /* A place that is computed is marked with a rule, to a millimetre or 1/32 in. */
    bt_buffer_text(out, bt_print_length(text, mm, system == BT_SYSTEM_MM ? 2.0 : 0.4,
                                        system, BT_LENGTH_RULE));
}

void bt_say_rule_u(struct bt_buffer *out, double u, enum bt_system system)
{
    const double step = 25.4 / 64;
    char text[BT_PRINT_ROOM];

    /* A value in fractions beside its u in thou is compared by nobody. */
    if (system == BT_SYSTEM_IN && u > step && isfinite(u)) {
        bt_buffer_text(out, bt_print_length(text, step * ceil(u / step - 1e-9), 0,
                                            system, BT_LENGTH_RULE));
        return;
    }
    bt_buffer_format(out, "%s %s", bt_print_u_bare(text, u, system),
                     bt_length_unit_name(system, BT_LENGTH_FEELER));
}

void bt_say_angle(struct bt_buffer *out, double rad, double u)
{
    char text[BT_PRINT_ROOM];

    bt_buffer_text(out, bt_print_angle(text, fabs(rad), u));
}

void bt_say_angle_u(struct bt_buffer *out, double u)
{
    char text[BT_PRINT_ROOM];

    /* Bare degrees to the digits of an uncertainty, as lengths have them. */
    bt_buffer_text(
        out, bt_print_u_bare(text, bt_unit_from_inside(u, BT_UNIT_DEG), BT_SYSTEM_MM));
}

void bt_say_cup(struct bt_buffer *out, double mm, double u, enum bt_system system)
{
    char text[BT_PRINT_ROOM];
    bool nothing = true;

    bt_print_length_bare(text, fabs(mm), u, system, BT_LENGTH_FEELER);
    for (const char *c = text; *c; c++)
        nothing &= *c == '0' || *c == '.';
    bt_say_length(out, fabs(mm), u, system);
    bt_buffer_text(out, nothing ? " (flat)" : mm > 0 ? " crowned" : " hollow");
}

/* Forces are known no better than to two digits, which an uncertainty of three tenths
 * leaves; pressures have one more, so that pressure times area gives the force as it
 * stands. */
static void add_digits(struct bt_buffer *out, double value, double share)
{
    char text[BT_PRINT_ROOM];

    bt_buffer_text(out, bt_print_length_bare(text, value, share * fabs(value),
                                             BT_SYSTEM_MM, BT_LENGTH_FEELER));
}

void bt_say_force(struct bt_buffer *out, double newton, enum bt_system system)
{
    const enum bt_unit unit = system == BT_SYSTEM_IN ? BT_UNIT_LBF
                              : newton >= 10000      ? BT_UNIT_KN
                                                     : BT_UNIT_N;

    if (isnan(newton)) {
        bt_buffer_text(out, "not known");
        return;
    }
    add_digits(out, bt_unit_from_inside(newton, unit), 0.3);
    bt_buffer_format(out, " %s", bt_unit_name(unit));
}

void bt_say_pressure(struct bt_buffer *out, double mpa, enum bt_system system)
{
    const enum bt_unit unit = system == BT_SYSTEM_MM ? BT_UNIT_MPA : BT_UNIT_PSI;

    add_digits(out, bt_unit_from_inside(mpa, unit), 0.03);
    bt_buffer_format(out, " %s", bt_unit_name(unit));
}

void bt_say_minutes(struct bt_buffer *out, double minutes)
{
    char text[BT_PRINT_ROOM];
    const double hour = 60, day = 24 * hour;
    const double unit = minutes >= 2 * day ? day : minutes >= 2 * hour ? hour : 1;
    /* a clock tells whole minutes, once there are many */
    const double tenths =
        unit <= 1 && minutes >= 10 ? round(minutes) : round(10 * minutes / unit) / 10;

    bt_buffer_format(
        out, "%s %s",
        bt_print_length_bare(text, tenths, 0, BT_SYSTEM_MM, BT_LENGTH_FEELER),
        unit >= day    ? "d"
        : unit >= hour ? "h"
                       : "min");
}

void bt_say_temperature(struct bt_buffer *out, double celsius, enum bt_system system)
{
    char text[BT_PRINT_ROOM];
    const bool mm = system == BT_SYSTEM_MM;
    const double value =
        mm ? celsius : bt_unit_from_inside(celsius, BT_UNIT_FAHRENHEIT);

    bt_buffer_format(
        out, "%s %s",
        bt_print_length_bare(text, value, 2, BT_SYSTEM_MM, BT_LENGTH_FEELER),
        mm ? "C" : "F");
}

const char *bt_face_words(bool show)
{
    return show ? "show face" : "other face";
}

void bt_say_board(struct bt_buffer *out, const struct bt_job *job, size_t board)
{
    if (board < job->nboard && job->board[board].name)
        bt_buffer_name(out, job->board[board].name);
    else
        bt_buffer_format(out, "%zu", board + 1);
}

void bt_say_mark(struct bt_buffer *out, const struct bt_job *job, size_t board,
                 bool front, enum bt_run run)
{
    bt_say_board(out, job, board);
    bt_buffer_format(out, " %s: %s", front ? "front" : "back", bt_run_name(run));
}

/* Show face to the fence and back edge down, the left end lies on the left; each of
 * face and edge turns that round, and so does the other feed. */
bool bt_left_end_leads(bool front, enum bt_run run, enum bt_feed feed)
{
    const bool left_on_left = front == (run == BT_RUN_OUT);

    return left_on_left == (feed == BT_FEED_RIGHT_TO_LEFT);
}

void bt_say_joint(struct bt_buffer *out, const struct bt_job *job, size_t joint)
{
    bt_buffer_format(out, "joint %zu (boards ", joint + 1);
    bt_say_board(out, job, joint);
    bt_buffer_text(out, " and ");
    bt_say_board(out, job, joint + 1);
    bt_buffer_text(out, ")");
}

static void add_fence(struct bt_buffer *out, const struct bt_edge_setup *setup)
{
    bt_buffer_text(out, "Fence:     ");
    if (!setup->fence_read) {
        bt_buffer_text(out, "no check of it: taken as square, known to ");
        bt_say_angle(out, setup->errors.u_e, 0);
        bt_buffer_text(out, " (common practice, no source)\n");
        return;
    }
    bt_say_angle(out, setup->errors.e, setup->errors.u_e);
    bt_buffer_format(out, " %s than square, u ", setup->errors.e < 0 ? "less" : "more");
    bt_say_angle_u(out, setup->errors.u_e);
    bt_buffer_text(out,
                   setup->fence.agree == BT_FENCE_DISAGREE
                       ? "; the checks contradict each other, benchtrue fence says "
                         "which to take again\n"
                       : "; benchtrue fence says more\n");
}

void bt_say_scatter(struct bt_buffer *out, const struct bt_edge_setup *setup,
                    enum bt_system system)
{
    bt_buffer_text(out, "Edges:     scatter from edge to edge ");
    bt_say_angle(out, setup->own_scatter, 0);
    bt_buffer_text(out, setup->scatter_assumed
                            ? " (taken; common practice, no source: [fence] scatter)"
                            : " (as stated)");
    if (setup->twist_scatter > 0) {
        bt_buffer_text(out, ", and ");
        bt_say_angle(out, setup->twist_scatter, setup->twist_scatter / 3);
        bt_buffer_text(out, " from the fence's twist");
    }
    bt_buffer_text(out, "\nTaper:     of a board known to ");
    bt_say_length(out, setup->errors.u_taper, 0, system);
    bt_buffer_text(out, setup->u_taper_assumed
                            ? " (taken; common practice, no source: [fence] taper_u)\n"
                            : " (as stated)\n");
}

void bt_say_taken(struct bt_buffer *out, const struct bt_edge_setup *setup,
                  enum bt_system system)
{
    add_fence(out, setup);
    bt_say_scatter(out, setup, system);
}

const char *bt_band_word(const struct bt_clamping *plan, double pressure)
{
    return pressure < plan->pressure_least  ? "under"
           : pressure > plan->pressure_most ? "over"
                                            : "within";
}

bool bt_gauge_zero(const struct bt_fence_check *check, double *zero, double *most)
{
    const double right_angle = acos(0);

    if (check->kind != BT_FENCE_ANGLE || isnan(check->turned))
        return false;
    *zero = (check->reading + check->turned) / 2 - right_angle;
    *most = 2 * hypot(check->u_own, check->u_reading / sqrt(2));
    return true;
}
