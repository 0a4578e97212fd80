/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "app/verb_job.h"
#include "app/say.h"
#include "benchtrue/base/quantity.h"
#include "benchtrue/report/trend_text.h"

static enum exit_code read_since(const struct options *options,
                                 struct bt_trend_request *request)
{
    if (!options->since)
        return EXIT_DONE;
    request->only = true;
    if (!bt_day_of_date(options->since, &request->since))
        return say(EXIT_USAGE,
                   "--since: not a date: '%s', write year, month and day as "
                   "2026-03-16",
                   options->since);
    return EXIT_DONE;
}

static enum exit_code read_share(const struct options *options,
                                 struct bt_trend_request *request)
{
    struct bt_quantity share;
    struct bt_error err;

    if (!options->share)
        return EXIT_DONE;
    if (bt_quantity_parse(options->share, strlen(options->share), BT_DIM_PERCENT,
                          BT_UNIT_PERCENT, false, &share, &err) != BT_OK)
        return say(EXIT_USAGE, "--share: %s", err.message);
    if (!(share.value > 0) || !(share.value <= 100))
        return say(EXIT_USAGE, "--share is over 0 %% and at most 100 %%, not '%s'",
                   options->share);
    request->share = share.value / 100;
    return EXIT_DONE;
}

static enum exit_code draw(const struct options *options,
                           const struct bt_trend_answer *answer)
{
    struct bt_figure_bytes bytes = {0};
    struct bt_error err = {0};
    enum bt_figure_format format;
    enum bt_status status;

    if (!options->figure)
        return EXIT_DONE;
    status = bt_figure_format_of(options->figure, &format, &err);
    if (status == BT_OK)
        status = bt_trend_draw(answer, format, &bytes, &err);
    return verb_figure_save(options, status, &err, &bytes);
}

static enum exit_code exit_of(enum bt_trend_verdict verdict)
{
    return verdict == BT_TREND_SETTLED ? EXIT_DONE
           : verdict == BT_TREND_MOVED ? EXIT_OVER
                                       : EXIT_OPEN;
}

static enum exit_code answer_it(const struct options *options, const struct bt_job *job,
                                const struct bt_trend_request *request)
{
    const struct bt_text_options text = verb_text_options(options, job);
    struct bt_trend_answer answer = {0};
    struct bt_buffer out = {0};
    struct bt_error err = {0};
    enum bt_status status = bt_trend_answer_find(job, request, &answer, &err);
    enum exit_code code;

    if (status != BT_OK)
        code = verb_job_failed(options, status, &err);
    else
        code = draw(options, &answer);
    if (code == EXIT_DONE) {
        if ((options->json ? bt_json_trend(&answer, &out)
                           : bt_text_trend(&answer, &text, &out)) != BT_OK)
            out.failed = true;
        code = print_result(&out, exit_of(answer.verdict));
    }
    bt_buffer_clear(&out);
    bt_trend_answer_clear(&answer);
    return code;
}

enum exit_code run_trend(struct options *options)
{
    struct bt_trend_request request = {0};
    struct bt_job job = {0};
    enum exit_code code = verb_figure_check(options);

    if (code == EXIT_DONE)
        code = read_since(options, &request);
    if (code == EXIT_DONE)
        code = read_share(options, &request);
    if (code == EXIT_DONE)
        code = verb_job_load(options, true, &job);
    if (code == EXIT_DONE)
        code = answer_it(options, &job, &request);
    bt_job_clear(&job);
    return code;
}
