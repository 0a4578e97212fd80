/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_sf_log.h>
#include <signal.h>

#include "benchtrue/surface/gsl_errors.h"

/* The logarithm of -1 is an error that only the status tells. */
static int logarithm_of_minus_one(void)
{
    gsl_sf_result result;

    return gsl_sf_log_e(-1, &result);
}

Test(gsl_errors, end_the_process_unless_told_otherwise, .signal = SIGABRT)
{
    logarithm_of_minus_one();
}

Test(gsl_errors, come_back_as_a_status_once_they_are_off)
{
    bt_gsl_errors_off();
    cr_expect_eq(logarithm_of_minus_one(), GSL_EDOM);
}
