/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <string.h>

#include "app/say.h"
#include "app/verb_job.h"
#include "benchtrue/draw/full_size.h"
#include "benchtrue/report/opening_result.h"

static enum exit_code draw(const struct options *options,
                           const struct bt_opening_answer *answer)
{
    struct bt_figure_bytes bytes = {0};
    enum bt_figure_format format;
    struct bt_error err = {0};
    enum bt_status status = bt_figure_format_of(options->figure, &format, &err);

    if (status == BT_OK)
        status = bt_opening_draw(answer, format, &bytes, &err);
    return verb_figure_save(options, status, &err, &bytes);
}

/* On one sheet, or on which paper: as typed, else as [opening] page says. */
static enum exit_code read_paper(const struct options *options,
                                 struct bt_full_size *input, enum bt_outline_page page)
{
    const char *text = options->paper;

    input->one = text && strcmp(text, "one") == 0;
    input->paper = page == BT_PAGE_LETTER ? BT_PAPER_LETTER : BT_PAPER_A4;
    if (!text || input->one)
        return EXIT_DONE;
    if (strcmp(text, "a4") != 0 && strcmp(text, "letter") != 0)
        return say(EXIT_USAGE,
                   "--paper: no such paper: '%s', there are one, a4 and letter", text);
    return verb_paper(options, &input->paper);
}

static enum exit_code draw_outline(const struct options *options,
                                   const struct bt_opening_answer *answer)
{
    struct bt_full_size input = {.job = answer->job,
                                 .piece = &answer->piece,
                                 .doubtful = answer->quad.contradiction};
    struct bt_figure_bytes bytes = {0};
    struct bt_error err = {0};
    enum exit_code code = read_paper(options, &input, answer->plan.page);
    enum bt_status status;

    if (code != EXIT_DONE)
        return code;
    status = bt_full_size(&input, NULL, &bytes, &err);
    return verb_file_save(options, options->outline, status, &err, &bytes);
}

static enum exit_code check_outline(const struct options *options)
{
    const size_t length = options->outline ? strlen(options->outline) : 0;
    struct bt_full_size input;

    if (options->outline &&
        (length < 4 || strcmp(options->outline + length - 4, ".pdf") != 0))
        return say(EXIT_USAGE,
                   "--outline: an outline is a PDF: '%s' does not end in .pdf",
                   options->outline);
    if (options->paper && !options->outline)
        return say(EXIT_USAGE, "--paper is that of --outline FILE.pdf");
    return read_paper(options, &input, BT_PAGE_A4);
}

static enum exit_code draw_both(const struct options *options,
                                const struct bt_opening_answer *answer)
{
    enum exit_code code = EXIT_DONE;

    /* Where the corners are not seen, the answer says what to measure. */
    if (!answer->has_piece)
        return EXIT_DONE;
    if (options->figure)
        code = draw(options, answer);
    if (code == EXIT_DONE && options->outline)
        code = draw_outline(options, answer);
    return code;
}

static enum exit_code answer_it(const struct options *options, const struct bt_job *job)
{
    const struct bt_text_options text = verb_text_options(options, job);
    struct bt_opening_answer answer = {0};
    struct bt_buffer out = {0};
    struct bt_error err = {0};
    enum bt_status status = bt_opening_answer_find(job, &answer, &err);
    enum exit_code code = EXIT_DONE;

    if (status != BT_OK)
        code = verb_job_failed(options, status, &err);
    else
        code = draw_both(options, &answer);
    if (code == EXIT_DONE) {
        if ((options->json ? bt_json_opening(&answer, &out)
                           : bt_text_opening(&answer, &text, &out)) != BT_OK)
            out.failed = true;
        code = print_result(&out, verb_exit(bt_opening_answer_verdict(&answer)));
    }
    bt_buffer_clear(&out);
    bt_opening_answer_clear(&answer);
    return code;
}

enum exit_code run_opening(struct options *options)
{
    struct bt_job job = {0};
    enum exit_code code = verb_figure_check(options);

    if (code == EXIT_DONE)
        code = check_outline(options);
    if (code == EXIT_DONE)
        code = verb_job_load(options, false, &job);
    if (code == EXIT_DONE)
        code = answer_it(options, &job);
    bt_job_clear(&job);
    return code;
}
