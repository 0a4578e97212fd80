/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "ingest/sure.h"

#include <math.h>
#include <stdio.h>

struct bt_finest bt_finest_none(void)
{
    return (struct bt_finest){INFINITY, INFINITY, INFINITY, INFINITY};
}

static void lessen(double *least, double step)
{
    if (step > 0 && step < *least)
        *least = step;
}

void bt_finest_note(struct bt_finest *finest, enum bt_digits digits, double step,
                    bool zero)
{
    if (digits == BT_DIGITS_FRACTION)
        lessen(&finest->fraction, step);
    else if (digits == BT_DIGITS_POINT)
        lessen(&finest->point, step);
    else if (digits == BT_DIGITS_WHOLE)
        lessen(zero ? &finest->zero : &finest->whole, step);
}

/* An eyeballed 1/64 beside a 0.030 is good to 1/64, not to 0.001. */
double bt_finest_step(const struct bt_finest *finest, enum bt_digits digits,
                      double step)
{
    double least = finest->whole;

    if (digits == BT_DIGITS_FRACTION)
        return step;
    if (isfinite(finest->point))
        return finest->point;
    lessen(&least, finest->fraction);
    return isfinite(least) ? least : finest->zero;
}

double bt_sure_u(double typed, double interval, double instrument, double resolution,
                 enum bt_u_origin *origin)
{
    if (typed > 0) {
        *origin = BT_U_TYPED;
        return typed;
    }
    if (interval > 0) {
        *origin = BT_U_INTERVAL;
        return interval;
    }
    if (instrument > 0) {
        *origin = BT_U_INSTRUMENT;
        return instrument;
    }
    if (resolution > 0) {
        *origin = BT_U_RESOLUTION;
        return resolution / sqrt(12);
    }
    *origin = BT_U_DIGIT;
    return NAN;
}

enum bt_status bt_sure_nothing(struct bt_faults *faults, const char *file, size_t line)
{
    return bt_fault_add(
        faults, BT_EINPUT, file, line, 1,
        "nothing tells how sure this gap is: no number is typed, write what went "
        "and what did not as paper..card, a column u_mm, or u of the instrument");
}

enum bt_status bt_sure_note(struct bt_notes *notes, const char *file,
                            const size_t origin[BT_U_ORIGINS])
{
    static const char *const words[BT_U_ORIGINS] = {
        [BT_U_TYPED] = "typed in the column u",
        [BT_U_INTERVAL] = "from what went and what did not",
        [BT_U_INSTRUMENT] = "u of the instrument",
        [BT_U_RESOLUTION] = "resolution of the instrument",
        [BT_U_DIGIT] = "finest digit typed"};
    char text[400];
    size_t used = 0;

    for (int i = 0; i < BT_U_ORIGINS; i++)
        if (origin[i])
            used += (size_t)snprintf(text + used, sizeof text - used, "%s%s (%zu)",
                                     used ? ", " : "", words[i], origin[i]);
    if (!used)
        return BT_OK;
    return bt_note_add(notes, file, 0, "uncertainty of the readings: %s", text);
}

enum bt_status bt_sure_note_odd(struct bt_notes *notes, const char *file, size_t line,
                                const char *text, size_t length, int odd)
{
    char shown[BT_SHOWN_ROOM];

    if (!odd)
        return BT_OK;
    return bt_note_add(notes, file, line,
                       "is '%s' meant? a rule in inches has halves to 64ths",
                       bt_fault_shown(text, length, shown));
}
