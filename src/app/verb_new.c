/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "app/lengths.h"
#include "app/options.h"
#include "app/say.h"
#include "benchtrue/judge/limits.h"
#include "benchtrue/report/template.h"

static enum exit_code refuse_use(const char *use)
{
    struct bt_buffer uses = {0};
    enum exit_code code;

    for (size_t i = 0; i < bt_band_count(); i++) {
        bt_buffer_text(&uses, i ? ", " : "");
        bt_buffer_text(&uses, bt_band_at(i)->use);
    }
    code = bt_buffer_status(&uses) != BT_OK
               ? say_error(BT_ENOMEM, bt_status_text(BT_ENOMEM))
               : say(EXIT_USAGE,
                     "--use: unknown use: '%s', write one of %s, or leave it out and "
                     "state limits of your own in job.ini",
                     use, uses.text);
    bt_buffer_clear(&uses);
    return code;
}

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
        const struct bt_band *band = bt_band_find(options->use, strlen(options->use));

        if (!band)
            return refuse_use(options->use);
        what->use = band->use;
    }
    return EXIT_DONE;
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
