/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "app/say.h"
#include "app/verb_job.h"
#include "benchtrue/report/report_result.h"

static bool ends_in(const char *text, const char *end)
{
    const size_t length = strlen(text), n = strlen(end);

    return length > n && strcmp(text + length - n, end) == 0;
}

static enum exit_code read_request(const struct options *options,
                                   struct bt_report_request *request)
{
    enum exit_code code = verb_paper(options, &request->paper);

    if (code != EXIT_DONE)
        return code;
    if (!options->output)
        return say(EXIT_USAGE, "report needs the file to write: -o FILE.html or .pdf");
    request->pdf = ends_in(options->output, ".pdf");
    if (!request->pdf && !ends_in(options->output, ".html"))
        return say(EXIT_USAGE,
                   "-o: a report is HTML or PDF: '%s' ends in neither .html nor .pdf",
                   options->output);
    request->version = BT_VERSION;
    return EXIT_DONE;
}

static enum exit_code write_report(const struct options *options,
                                   const struct bt_job *job,
                                   const struct bt_report_request *request)
{
    struct bt_figure_bytes file = {0};
    struct bt_buffer out = {0};
    struct bt_error err = {0};
    const enum bt_status status = bt_report_make(job, request, &file, &err);
    enum exit_code code = verb_output_save(options, status, &err, &file);

    if (code == EXIT_DONE) {
        bt_buffer_text(&out, "Written: ");
        bt_buffer_name(&out, options->output);
        bt_buffer_text(&out, "\n");
        code = print_result(&out, EXIT_DONE);
    }
    bt_buffer_clear(&out);
    return code;
}

enum exit_code run_report(struct options *options)
{
    struct bt_report_request request = {0};
    struct bt_job job = {0};
    enum exit_code code = EXIT_DONE;

    /* that there is no job is told before that the file to write is missing */
    if (!options->output) {
        code = verb_job_load(options, true, &job);
        bt_job_clear(&job);
    }
    if (code == EXIT_DONE)
        code = read_request(options, &request);
    if (code == EXIT_DONE)
        code = verb_job_load(options, true, &job);
    if (code == EXIT_DONE && options->system_typed)
        job.system = options->system;
    if (code == EXIT_DONE)
        code = write_report(options, &job, &request);
    bt_job_clear(&job);
    return code;
}
