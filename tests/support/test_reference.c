/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "support/reference.h"

#include <criterion/criterion.h>
#include <signal.h>

#define TABLE "metrology/gum_h3_thermometer.csv"

Test(reference, gives_cells_by_column_name)
{
    struct reference *t = reference_load(TABLE);

    cr_expect(reference_rows(t) == 11);
    cr_expect(reference_columns(t) == 3);
    cr_expect(reference_number(t, 10, "t_degC") == 26.511);
    cr_expect_str_eq(reference_text(t, 0, "b_degC"), "-0.171");
    cr_expect(reference_find(t, "k", "4", 0) == 3);
    reference_free(t);
}

Test(reference, aborts_on_a_missing_file, .signal = SIGABRT)
{
    reference_load("metrology/no_such_table.csv");
}

Test(reference, aborts_on_a_missing_column, .signal = SIGABRT)
{
    reference_column(reference_load(TABLE), "t_degF");
}

Test(reference, aborts_on_a_missing_row, .signal = SIGABRT)
{
    reference_text(reference_load(TABLE), 11, "k");
}

Test(reference, aborts_on_a_text_that_is_no_number, .signal = SIGABRT)
{
    reference_number(reference_load("metrology/jcgm_checks.csv"), 0, "document");
}
