/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <math.h>

#include "benchtrue/wood/moisture.h"
#include "support/reference.h"

Test(moisture, all_cells_of_the_handbook_are_met_within_7_hundredths_of_a_point)
{
    struct reference *t = reference_load("emc.csv");
    double worst = 0;

    cr_expect_eq(reference_rows(t), 344);
    for (size_t i = 0; i < reference_rows(t); i++) {
        double f = reference_number(t, i, "temp_F"), m = NAN, d;
        double rh = reference_number(t, i, "RH_pct");
        cr_assert_eq(bt_moisture_of_air((f - 32) / 1.8, rh, &m, NULL), BT_OK);
        d = fabs(m - reference_number(t, i, "EMC_table_pct"));
        cr_expect(d <= 0.07, "%g F, %g %%: %g", f, rh, m);
        cr_expect(fabs(m - reference_number(t, i, "EMC_eq_degC_coeffs")) <= 5.1e-4,
                  "%g F, %g %%: %g", f, rh, m);
        worst = fmax(worst, d);
    }
    cr_expect(worst > 0.05 && worst <= 0.0565, "%g", worst); /* checks.py: 0.056 */
    reference_free(t);
}

/* reference/checks.py, section 1, to three places. */
static const struct {
    double c, rh, moisture;
} points[] = {{20, 30, 6.188}, {20, 50, 9.271}, {20, 65, 11.996}, {21, 35, 6.944}};

Test(moisture, air_of_a_room_gives_the_moisture_that_the_check_has)
{
    for (size_t i = 0; i < sizeof points / sizeof *points; i++) {
        double m = NAN;
        cr_assert_eq(bt_moisture_of_air(points[i].c, points[i].rh, &m, NULL), BT_OK);
        cr_expect(fabs(m - points[i].moisture) <= 5.1e-4, "%g", m);
    }
}

Test(moisture, humidity_and_moisture_are_inverse_to_each_other)
{
    for (double t = -1; t <= 99; t += 12.5)
        for (double rh = 0; rh <= 100; rh += 2.5) {
            double m = NAN, back = NAN;
            cr_assert_eq(bt_moisture_of_air(t, rh, &m, NULL), BT_OK);
            cr_assert_eq(bt_humidity_of_wood(t, m, &back, NULL), BT_OK, "%g %g", t, rh);
            cr_expect(fabs(back - rh) <= 1e-9, "%g C: %g for %g", t, back, rh);
        }
}

Test(moisture, damper_air_means_damper_wood_and_dry_air_none)
{
    double before = NAN, m = NAN;

    cr_assert_eq(bt_moisture_of_air(20, 0, &before, NULL), BT_OK);
    cr_expect(fabs(before) <= 1e-12);
    for (double rh = 1; rh <= 100; rh++) {
        cr_assert_eq(bt_moisture_of_air(20, rh, &m, NULL), BT_OK);
        cr_expect(m > before);
        before = m;
    }
}

static const struct {
    double t, value;
    bool inverse;
    const char *message;
} bad[] = {
    {-1.3, 50, false, "the temperature must be -1.2 C to 99 C"},
    {99.1, 50, false, "the temperature must be -1.2 C to 99 C"},
    {NAN, 50, false, "the temperature must be -1.2 C to 99 C"},
    {20, -0.1, false, "the humidity must be 0 % to 100 %"},
    {20, 100.1, false, "the humidity must be 0 % to 100 %"},
    {20, NAN, false, "the humidity must be 0 % to 100 %"},
    {NAN, 8, true, "the temperature must be -1.2 C to 99 C"},
    {20, -0.1, true, "no air keeps wood at that moisture"},
    {20, 80, true, "no air keeps wood at that moisture"},
    {20, NAN, true, "no air keeps wood at that moisture"},
};

Test(moisture, what_is_out_of_range_is_refused_and_nothing_is_changed)
{
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        struct bt_error err = {0};
        double out = 42;
        enum bt_status status =
            bad[i].inverse ? bt_humidity_of_wood(bad[i].t, bad[i].value, &out, &err)
                           : bt_moisture_of_air(bad[i].t, bad[i].value, &out, &err);
        cr_expect_eq(status, BT_EINPUT, "%zu", i);
        cr_expect_str_eq(err.message, bad[i].message);
        cr_expect(fabs(out - 42) <= 0);
    }
}
