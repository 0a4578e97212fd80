/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "app/lengths.h"
#include "app/options.h"
#include "app/say.h"
#include "app/uses.h"
#include "benchtrue/report/template.h"

static enum exit_code read_template(const struct options *options,
                                    struct bt_template *what)
{
    bool inches = false;
    enum exit_code code;

    memset(what, 0, sizeof *what);
    code = read_length("--length", options->length, options, &what->length, &inches);
    if (code == EXIT_DONE)
        code = read_length("--width", options->width, options, &what->width, &inches);
    if (code == EXIT_DONE)
        code = read_length("--thickness", options->thickness, options, &what->thickness,
                           &inches);
    if (code != EXIT_DONE)
        return code;
    what->system = inches ? BT_SYSTEM_IN : BT_SYSTEM_MM;
    if (options->system_typed)
        what->system = options->system;
    if (options->use) {
        const struct bt_band *band;

        code = find_use(options->use, &band);
        if (code == EXIT_DONE)
            what->use = band->use;
    }
    return code;
}

static void add_next_steps(struct bt_buffer *out, const struct bt_template *what,
                           const char *folder)
{
    bt_buffer_text(out, "Written to ");
    bt_buffer_name(out, folder);
    bt_buffer_text(out, ":");
    for (size_t i = 0; i < BT_TEMPLATE_FILES; i++)
        bt_buffer_format(out, "%s %s", i ? "," : "", bt_template_name(i));
    bt_buffer_text(out, ".\n");
    if (isnan(what->length) || isnan(what->width))
        bt_buffer_text(out,
                       "The size in job.ini is an EXAMPLE, and the places in "
                       "readings.csv follow from it: start again with --length and "
                       "--width, or correct both files.\n");
    bt_buffer_text(out,
                   "Next: fill in the gaps in readings.csv, then: benchtrue flatness ");
    bt_buffer_name(out, folder);
    bt_buffer_text(out, "\n");
}

enum exit_code run_new(struct options *options)
{
    struct bt_buffer out = {0};
    struct bt_template what;
    struct bt_error err;
    enum exit_code code = read_template(options, &what);
    enum bt_status status;

    if (code != EXIT_DONE)
        return code;
    status = bt_template_write(&what, options->argument, &err);
    if (status != BT_OK)
        return say_error(status, err.message);
    add_next_steps(&out, &what, options->argument);
    code = print_result(&out, EXIT_DONE);
    bt_buffer_clear(&out);
    return code;
}
