/* SPDX-License-Identifier: GPL-3.0-or-later */

/* The command line itself: verbs, options, help, and what is refused. */
#include <criterion/criterion.h>

#include <stdio.h>
#include <string.h>

#include "app/program.h"

Test(usage, version_and_help_go_to_stdout)
{
    struct outcome got;

    expect_run("--version", 0, "benchtrue " BT_VERSION "\n", "");
    got = run("help");
    cr_expect_eq(got.code, 0);
    cr_expect_str_eq(got.err, "");
    cr_expect_not_null(strstr(got.out, "  benchtrue flatness JOB    is it flat, is it "
                                       "twisted, and how sure is that\n"));
    outcome_clear(&got);
}

Test(usage, help_says_the_same_however_it_is_asked_for)
{
    struct outcome a = run("help"), b = run("--help"), c = run("-h");

    cr_expect_str_eq(a.out, b.out);
    cr_expect_str_eq(a.out, c.out);
    outcome_clear(&a);
    outcome_clear(&b);
    outcome_clear(&c);
    a = run("help flatness");
    b = run("flatness --json --help");
    cr_expect_str_eq(a.out, b.out);
    cr_expect_eq(b.code, 0);
    outcome_clear(&a);
    outcome_clear(&b);
}

Test(usage, help_of_a_verb_shows_usage_options_example_and_exit_statuses)
{
    struct outcome got = run("help new");

    cr_expect_eq(got.code, 0);
    cr_expect_not_null(strstr(got.out,
                              "\n  benchtrue new DIR [--length L] [--width W] "
                              "[--thickness T] [--use BAND] [--units in|mm]\n"));
    cr_expect_not_null(strstr(got.out, "\nOptions\n  --length L"));
    cr_expect_not_null(strstr(got.out, "\nExample\n  benchtrue new oak-window-seat"));
    cr_expect_not_null(
        strstr(got.out, "\n  73  the folder cannot be made, or is not empty\n"));
    cr_expect_null(strstr(got.out, "--json"));
    outcome_clear(&got);
}

Test(usage, refuses_what_it_does_not_understand_and_says_what_would_do)
{
    static const struct {
        const char *args, *err;
    } rows[] = {
        {"", "benchtrue: what shall I do? benchtrue help lists what there is\n"},
        {"flatnes x", "benchtrue: unknown verb: 'flatnes', did you mean flatness?\n"},
        {"chekc x", "benchtrue: unknown verb: 'chekc', did you mean check?\n"},
        {"Zebra crossing",
         "benchtrue: unknown verb: 'Zebra'; benchtrue help lists what there is\n"},
        {"-- flatness",
         "benchtrue: unknown verb: '--'; benchtrue help lists what there "
         "is\n"},
        {"--version now", "benchtrue: --version stands alone\n"},
        {"help flatnes",
         "benchtrue: unknown verb: 'flatnes', did you mean flatness?\n"},
        {"help zebracrossing",
         "benchtrue: unknown verb: 'zebracrossing'; benchtrue help "
         "lists what there is\n"},
        {"help new check", "benchtrue: help takes one [VERB]: 'check' is one too many "
                           "(what holds a blank "
                           "stands in quotes, as '61 1/2 in')\n"},
        {"flatness",
         "benchtrue: flatness needs a JOB; benchtrue help flatness says more\n"},
        {"check", "benchtrue: check needs a JOB; benchtrue help check says more\n"},
        {"new", "benchtrue: new needs a DIR; benchtrue help new says more\n"},
        {"new ''", "benchtrue: new needs a name, not an empty text\n"},
        {"flatness a b",
         "benchtrue: flatness takes one JOB: 'b' is one too many (what holds a blank "
         "stands in quotes, as '61 1/2 in')\n"},
        {"flatness x --jsno",
         "benchtrue: unknown option: '--jsno', did you mean --json?\n"},
        {"flatness x --unit=in",
         "benchtrue: unknown option: '--unit', did you mean --units?\n"},
        {"flatness x --zebracrossing", "benchtrue: unknown option: '--zebracrossing'; "
                                       "benchtrue help flatness lists what "
                                       "there is\n"},
        {"check x --json", "benchtrue: '--json' is no option of check; benchtrue help "
                           "check lists its options\n"},
        {"flatness x --json=yes", "benchtrue: --json takes no value\n"},
        {"flatness x --json --json", "benchtrue: --json is given twice\n"},
        {"flatness x --set", "benchtrue: --set needs a value: --set NAME\n"},
        {"flatness x --set=", "benchtrue: --set needs a value: --set NAME\n"},
        {"flatness x --set a --set b", "benchtrue: --set is given twice\n"},
        {"flatness x --set a --all", "benchtrue: --set and --all exclude each other\n"},
        {"flatness x --units furlong",
         "benchtrue: --units is in or mm, not 'furlong'\n"},
        {"flatness x --without readings.csv",
         "benchtrue: --without needs FILE:LINE, as readings.csv:12, not "
         "'readings.csv'\n"},
        {"flatness x --without readings.csv:0",
         "benchtrue: --without needs FILE:LINE, as readings.csv:12, not "
         "'readings.csv:0'\n"},
        {"flatness x --without readings.csv:-3",
         "benchtrue: --without needs FILE:LINE, as readings.csv:12, not "
         "'readings.csv:-3'\n"},
        {"flatness x --without :3",
         "benchtrue: --without needs FILE:LINE, as readings.csv:12, not ':3'\n"},
        {"flatness x --draws 99",
         "benchtrue: --draws is a whole number from 100 to 1000000, not '99'\n"},
        {"flatness x --draws 1000001",
         "benchtrue: --draws is a whole number from 100 to 1000000, not '1000001'\n"},
        {"flatness x --draws 1e3",
         "benchtrue: --draws is a whole number from 100 to 1000000, not '1e3'\n"},
        {"flatness x --seed -1", "benchtrue: --seed is a whole number from 0 to "
                                 "18446744073709551615, not '-1'\n"},
        {"flatness x --seed 18446744073709551616",
         "benchtrue: --seed is a whole number from 0 to 18446744073709551615, not "
         "'18446744073709551616'\n"},
        {"flatness x --seed 1 --seed 2", "benchtrue: --seed is given twice\n"},
        {"flatness x --without a:99999999999999999999999999",
         "benchtrue: --without needs FILE:LINE, as readings.csv:12, not "
         "'a:99999999999999999999999999'\n"},
        {"new /tmp/benchtrue_none/x --length 0 --units mm",
         "benchtrue: --length must be more than 0: '0'\n"},
        {"new /tmp/benchtrue_none/x --width -3mm",
         "benchtrue: --width must be more than 0: '-3mm'\n"},
        {"new /tmp/benchtrue_none/x --use 'table tpo'",
         "benchtrue: --use: unknown use: 'table tpo', write one of table top, bench "
         "top, counter, seat, shelf, door, or leave it out "
         "and state limits of your own in job.ini\n"},
        {"new /tmp/benchtrue_none/x --use spaceship",
         "benchtrue: --use: unknown use: 'spaceship', write one of table top, bench "
         "top, counter, seat, shelf, door, or leave it out "
         "and state limits of your own in job.ini\n"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        expect_run(rows[i].args, 64, "", rows[i].err);
}

Test(usage, refuses_a_length_that_is_none)
{
    static const char *const lengths[] = {"abc",  "5abc",   "1/0",   "nan",   "inf",
                                          "0x10", "16-Mar", "1e400", "12 kg", "12"};

    for (size_t i = 0; i < sizeof lengths / sizeof *lengths; i++) {
        char args[128] = "new /tmp/benchtrue_none/x --length '";
        struct outcome got;

        strcat(strcat(args, lengths[i]), "'");
        got = run(args);
        cr_expect_eq(got.code, 64, "%s gave %d", lengths[i], got.code);
        cr_expect(strncmp(got.err, "benchtrue: --length: ", 21) == 0, "%s", got.err);
        cr_expect_str_eq(got.out, "");
        outcome_clear(&got);
    }
}

Test(usage, prints_no_control_character_of_a_word_typed)
{
    expect_run(
        "\x1b[2Jlearscreen", 64, "",
        "benchtrue: unknown verb: '?[2Jlearscreen'; benchtrue help lists what there "
        "is\n");
}

Test(usage, takes_words_after_two_dashes_as_they_are)
{
    struct outcome got = run("flatness -- --json");

    cr_expect_eq(got.code, 66, "%s", got.err);
    cr_expect_not_null(strstr(got.err, "--json: "));
    outcome_clear(&got);
}

Test(usage, says_that_stdout_is_full)
{
    static const char *const args[] = {"help", "help flatness", "--version"};
    struct conditions full = {.stdout_to = "/dev/full"};

    for (size_t i = 0; i < sizeof args / sizeof *args; i++) {
        struct outcome got = run_under(args[i], &full);

        cr_expect_eq(got.code, 74, "%s", args[i]);
        cr_expect_str_eq(got.err,
                         "benchtrue: the result cannot be written: No space left "
                         "on device\n");
        outcome_clear(&got);
    }
}

Test(usage, inside_a_job_folder_the_job_may_be_left_out)
{
    struct conditions inside = {.folder = BT_SAMPLE_DIR "/reading-room-table"};
    static const char *const verbs[] = {"check", "flatness"};

    for (size_t i = 0; i < 2; i++) {
        char args[128];
        struct outcome here = run_under(verbs[i], &inside), named;

        snprintf(args, sizeof args, "%s '%s/reading-room-table'", verbs[i],
                 BT_SAMPLE_DIR);
        named = run(args);
        cr_expect_eq(here.code, 0);
        cr_expect_str_eq(here.out, named.out);
        cr_expect_str_eq(here.err, "");
        outcome_clear(&here);
        outcome_clear(&named);
    }
}
