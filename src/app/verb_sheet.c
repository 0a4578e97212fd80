/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <string.h>

#include "app/say.h"
#include "app/verb_job.h"
#include "benchtrue/base/nearest.h"
#include "benchtrue/report/sheets_result.h"

static enum exit_code refuse_kind(const char *text)
{
    const char *names[BT_SHEET_KINDS], *nearest;

    for (int k = 0; k < BT_SHEET_KINDS; k++)
        names[k] = bt_sheet_name((enum bt_sheet_kind)k);
    nearest = bt_nearest(text, strlen(text), BT_SHEET_KINDS, names);
    return say(EXIT_USAGE, "--of: no such sheet: '%s', %s%s%s", text,
               nearest ? "did you mean "
                       : "there are readings, fence, dryfit and opening",
               nearest ? nearest : "", nearest ? "?" : "");
}

static enum exit_code read_kinds(const struct options *options,
                                 struct bt_sheets_request *request)
{
    for (size_t i = 0; i < options->nof; i++) {
        int k = 0;

        while (k < BT_SHEET_KINDS &&
               strcmp(options->of[i], bt_sheet_name((enum bt_sheet_kind)k)) != 0)
            k++;
        if (k == BT_SHEET_KINDS)
            return refuse_kind(options->of[i]);
        request->wanted[k] = true;
    }
    return EXIT_DONE;
}

static enum exit_code read_request(const struct options *options,
                                   struct bt_sheets_request *request)
{
    const size_t length = options->output ? strlen(options->output) : 0;
    enum exit_code code = read_kinds(options, request);

    if (code == EXIT_DONE)
        code = verb_paper(options, &request->paper);
    if (code != EXIT_DONE)
        return code;
    if (!options->output)
        return say(EXIT_USAGE, "sheet needs the file to write: -o FILE.pdf");
    if (length < 4 || strcmp(options->output + length - 4, ".pdf") != 0)
        return say(EXIT_USAGE, "-o: a sheet is a PDF: '%s' does not end in .pdf",
                   options->output);
    request->measure = (struct bt_measure_request){
        .aim = {NAN, NAN, NAN}, .edge = NAN, .feet = NAN, .afresh = options->afresh};
    return EXIT_DONE;
}

static enum exit_code write_sheets(const struct options *options,
                                   const struct bt_job *job,
                                   const struct bt_sheets_request *request)
{
    struct bt_figure_bytes pdf = {0};
    struct bt_buffer out = {0};
    struct bt_error err = {0};
    size_t sheets = 0;
    const enum bt_status status = bt_sheets_make(job, request, &pdf, &sheets, &err);
    enum exit_code code = verb_output_save(options, status, &err, &pdf);

    if (code == EXIT_DONE) {
        bt_buffer_format(&out, "%zu %s to pencil on: ", sheets,
                         sheets == 1 ? "sheet" : "sheets");
        bt_buffer_name(&out, options->output);
        bt_buffer_text(&out, "\n");
        code = print_result(&out, EXIT_DONE);
    }
    bt_buffer_clear(&out);
    return code;
}

enum exit_code run_sheet(struct options *options)
{
    struct bt_sheets_request request = {0};
    struct bt_job job = {0};
    enum exit_code code = EXIT_DONE;

    /* that there is no job is told before that the file to write is missing */
    if (!options->output) {
        code = verb_job_load(options, false, &job);
        bt_job_clear(&job);
    }
    if (code == EXIT_DONE)
        code = read_request(options, &request);
    if (code == EXIT_DONE)
        code = verb_job_load(options, false, &job);
    if (code == EXIT_DONE)
        code = write_sheets(options, &job, &request);
    bt_job_clear(&job);
    return code;
}
