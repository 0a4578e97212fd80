/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/wood/movement.h"

#include <math.h>

static const double pi = 3.14159265358979323846;

enum { MOISTURE_MOST = 250 };

static double rule(enum bt_wood_rule_code code)
{
    return bt_wood_rule(code)->value;
}

static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

/* The text without blanks and hyphens is the word. */
static bool is_word(const char *text, size_t length, const char *word)
{
    for (size_t i = 0; i < length; i++)
        if (text[i] != ' ' && text[i] != '-') {
            if (*word == '\0' || lower(text[i]) != *word)
                return false;
            word++;
        }
    return *word == '\0';
}

enum cut { FLAT, RIFT, QUARTER, UNKNOWN };

static const struct {
    const char *word;
    enum cut cut;
} words[] = {
    {"flat", FLAT},       {"flatsawn", FLAT},       {"plain", FLAT},
    {"plainsawn", FLAT},  {"rift", RIFT},           {"riftsawn", RIFT},
    {"quarter", QUARTER}, {"quartersawn", QUARTER}, {"", UNKNOWN},
};

static struct bt_ring_angle angle_of(enum cut cut)
{
    const double first = rule(BT_RULE_FLAT_MOST) * pi / 180.0;
    const double second = rule(BT_RULE_QUARTER_LEAST) * pi / 180.0;

    switch (cut) {
    case FLAT:
        return (struct bt_ring_angle){0.0, 0.0, first};
    case RIFT:
        return (struct bt_ring_angle){0.25 * pi, first, second};
    case QUARTER:
        return (struct bt_ring_angle){0.5 * pi, second, 0.5 * pi};
    case UNKNOWN:
        break;
    }
    return (struct bt_ring_angle){0.0, 0.0, 0.5 * pi};
}

bool bt_ring_angle_find(const char *text, size_t length, struct bt_ring_angle *angle)
{
    for (size_t i = 0; i < sizeof words / sizeof *words; i++)
        if (is_word(text, length, words[i].word)) {
            *angle = angle_of(words[i].cut);
            return true;
        }
    return false;
}

double bt_coefficient_at(double c_radial, double c_tangential, double angle)
{
    double c = cos(angle), s = sin(angle);

    return c_tangential * c * c + c_radial * s * s;
}

const char *bt_movement_form_text(enum bt_movement_form form)
{
    return form == BT_MOVEMENT_COEFFICIENT ? "coefficient form" : "long form";
}

/* Share by which a width changes, at one angle. */
struct law {
    enum bt_movement_form form;
    double radial, tangential; /* coefficients, or shrinkages in percent */
    double saturation;
    double from, to; /* percent, not over saturation */
};

static double share_at(const struct law *law, double angle)
{
    double v = bt_coefficient_at(law->radial, law->tangential, angle);

    if (law->form == BT_MOVEMENT_COEFFICIENT)
        return v * (law->to - law->from);
    /* the shrinkage in that direction, as eq. 13-3 takes it: D dM/(100 s/S - s + M1),
     * multiplied out, so that no shrinkage is no change */
    return v * (law->to - law->from) /
           (100.0 * law->saturation + v * (law->from - law->saturation));
}

static bool form_known(const struct bt_wood *wood, enum bt_movement_form form)
{
    const struct bt_wood_value *t =
        form == BT_MOVEMENT_LONG ? &wood->shrink_tangential : &wood->c_tangential;

    return !isnan(t->value);
}

static enum bt_status check(const struct bt_wood *wood, double width,
                            const struct bt_ring_angle *angle, double from, double to,
                            struct bt_error *err)
{
    if (!(width > 0.0) || isinf(width))
        return bt_error_set(err, BT_EINPUT, 0, 0, "the width must be over 0 mm");
    if (!(angle->low >= 0.0 && angle->low <= angle->angle &&
          angle->angle <= angle->high && angle->high <= 0.5 * pi))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the ring angle must be 0 to 90 degrees");
    if (!(from >= 0.0 && from <= MOISTURE_MOST) || !(to >= 0.0 && to <= MOISTURE_MOST))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "the moisture must be 0 %% to 250 %%");
    if (!form_known(wood, BT_MOVEMENT_LONG) &&
        !form_known(wood, BT_MOVEMENT_COEFFICIENT))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "nothing is known of how that wood moves");
    return BT_OK;
}

static bool in_range(double moisture)
{
    return moisture >= rule(BT_RULE_COEFFICIENT_LEAST) &&
           moisture <= rule(BT_RULE_COEFFICIENT_MOST);
}

/* A lone tangential value serves all directions, which is the most. */
static struct law law_of(const struct bt_wood *wood, enum bt_movement_form form,
                         double from, double to)
{
    bool is_long = form == BT_MOVEMENT_LONG;
    double s = wood->saturation.value;
    double t = is_long ? wood->shrink_tangential.value : wood->c_tangential.value;
    double r = is_long ? wood->shrink_radial.value : wood->c_radial.value;

    return (struct law){form, isnan(r) ? t : r, t, s, fmin(from, s), fmin(to, s)};
}

/* u of the wood's value, as a share: that of the direction which counts more. */
static double scatter_of(const struct bt_wood *wood, enum bt_movement_form form,
                         double angle)
{
    const struct bt_wood_value *t = &wood->c_tangential, *r = &wood->c_radial;
    double c = cos(angle), s = sin(angle), value, u;

    if (form == BT_MOVEMENT_LONG) {
        t = &wood->shrink_tangential;
        r = &wood->shrink_radial;
    }
    if (isnan(r->value))
        return t->u / t->value;
    /* both scatter together: a tree that shrinks more does so both ways */
    value = t->value * c * c + r->value * s * s;
    u = t->u * c * c + r->u * s * s;
    return u / value;
}

static void reckon(const struct bt_wood *wood, enum bt_movement_form form, double width,
                   const struct bt_ring_angle *angle, double from, double to,
                   struct bt_movement *out)
{
    struct law law = law_of(wood, form, from, to);
    double wide, scatter;

    out->form = form;
    out->outside = !in_range(from) || !in_range(to);
    out->saturated = law.from < from || law.to < to;
    out->change = width * share_at(&law, angle->angle);
    scatter = out->change * scatter_of(wood, form, angle->angle);
    /* rectangular over what the angle may give */
    wide = width * (share_at(&law, angle->low) - share_at(&law, angle->high));
    out->u = hypot(scatter, wide / sqrt(12.0));
}

enum bt_status bt_movement_by_form(const struct bt_wood *wood,
                                   enum bt_movement_form form, double width,
                                   const struct bt_ring_angle *angle, double from,
                                   double to, struct bt_movement *out,
                                   struct bt_error *err)
{
    enum bt_status status = check(wood, width, angle, from, to, err);

    if (status != BT_OK)
        return status;
    if (!form_known(wood, form))
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "nothing is known of how that wood moves");
    reckon(wood, form, width, angle, from, to, out);
    return BT_OK;
}

enum bt_status bt_movement_of_board(const struct bt_wood *wood, double width,
                                    const struct bt_ring_angle *angle, double from,
                                    double to, struct bt_movement *out,
                                    struct bt_error *err)
{
    enum bt_movement_form form =
        in_range(from) && in_range(to) ? BT_MOVEMENT_COEFFICIENT : BT_MOVEMENT_LONG;

    if (!form_known(wood, form))
        form = form == BT_MOVEMENT_LONG ? BT_MOVEMENT_COEFFICIENT : BT_MOVEMENT_LONG;
    return bt_movement_by_form(wood, form, width, angle, from, to, out, err);
}

enum bt_status bt_movement_of_panel(size_t n, const struct bt_movement_board board[],
                                    struct bt_movement *out, struct bt_movement each[],
                                    struct bt_error *err)
{
    struct bt_movement sum = {.form = BT_MOVEMENT_COEFFICIENT}, one;

    if (n == 0)
        return bt_error_set(err, BT_EINPUT, 0, 0, "there is no board");
    /* all boards are looked at first, so that an error leaves each[] as it was */
    for (size_t pass = 0; pass < 2; pass++)
        for (size_t i = 0; i < n; i++) {
            const struct bt_movement_board *b = &board[i];
            enum bt_status status = bt_movement_of_board(b->wood, b->width, &b->angle,
                                                         b->from, b->to, &one, err);
            if (status != BT_OK) {
                if (err)
                    err->row = i;
                return status;
            }
            if (pass == 1 && each)
                each[i] = one;
            if (pass == 1) {
                sum.change += one.change;
                sum.u += one.u;
                if (one.form == BT_MOVEMENT_LONG)
                    sum.form = BT_MOVEMENT_LONG;
                sum.outside = sum.outside || one.outside;
                sum.saturated = sum.saturated || one.saturated;
            }
        }
    *out = sum;
    return BT_OK;
}
