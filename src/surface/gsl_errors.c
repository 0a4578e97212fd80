/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/surface/gsl_errors.h"

#include <gsl/gsl_errno.h>

void bt_gsl_errors_off(void)
{
    gsl_set_error_handler_off();
}
