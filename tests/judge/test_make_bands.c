/* SPDX-License-Identifier: GPL-3.0-or-later */

/* The generator of the table of bands, run as the build runs it: BT_MAKE_BANDS. */
#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#define HEADER "use,figure,limit,unit,status,source,note\n"
#define GOOD "shelf,cup,1.0,mm,\"common practice, no source\",,\n"

struct run {
    int status;
    char said[2000]; /* what it printed, without the folder */
    char made[2000]; /* the table, "" where none was written */
};

static void slurp(FILE *in, char *text, size_t room)
{
    size_t n = in ? fread(text, 1, room - 1, in) : 0;

    text[n] = '\0';
}

/* Run the generator on a table in a folder of its own, which is removed again. */
static struct run run_on(const char *table)
{
    char folder[] = "/tmp/benchtrue-bands-XXXXXX", command[600];
    struct run run;
    FILE *file;

    cr_assert_not_null(mkdtemp(folder));
    cr_assert(chdir(folder) == 0);
    file = fopen("t.csv", "wb");
    cr_assert_not_null(file);
    cr_assert(fputs(table, file) >= 0 && fclose(file) == 0);
    snprintf(command, sizeof command, "'%s' t.csv t.inc 2>&1", BT_MAKE_BANDS);
    file = popen(command, "r");
    cr_assert_not_null(file);
    slurp(file, run.said, sizeof run.said);
    run.status = WEXITSTATUS(pclose(file));
    file = fopen("t.inc", "rb");
    slurp(file, run.made, sizeof run.made);
    if (file)
        fclose(file);
    remove("t.inc");
    remove("t.csv");
    cr_assert(chdir("/") == 0 && rmdir(folder) == 0);
    return run;
}

Test(make_bands, writes_a_row_of_c_for_each_use)
{
    struct run run = run_on(HEADER GOOD "door,twist,0.25,in,seen,\"A \"\"B\"\" C\",n\n"
                                        "shelf,range,2,mm,seen,D,\n");

    cr_expect(run.status == 0);
    cr_expect_str_empty(run.said);
    cr_expect_str_eq(
        run.made, "/* Made by make_bands from reference/use_bands.csv; edit that. */\n"
                  "    {\"shelf\", {1, NAN, NAN, 2, NAN, NAN},\n"
                  "     {\"common practice, no source\",\n"
                  "      \"\",\n"
                  "      \"\",\n"
                  "      \"D; seen\",\n"
                  "      \"\",\n"
                  "      \"\"}},\n"
                  "    {\"door\", {NAN, NAN, 6.3499999999999996, NAN, NAN, NAN},\n"
                  "     {\"\",\n"
                  "      \"\",\n"
                  "      \"A \\\"B\\\" C; seen\",\n"
                  "      \"\",\n"
                  "      \"\",\n"
                  "      \"\"}},\n");
}

Test(make_bands, counts_lines_past_blank_lines_and_carriage_returns)
{
    struct run run = run_on("use,figure,limit,unit,status,source,note\r\n\r\n"
                            "shelf,cup,1,mm,seen,D,\r\n\r\n"
                            "shelf,bow,0,mm,seen,D,\r\n");

    cr_expect(run.status == 1);
    cr_expect_str_eq(run.said, "t.csv:5: limit must be a number above 0: '0'\n");
}

struct bad {
    const char *name, *table, *said;
};

static const struct bad bad[] = {
    {"unknown figure", HEADER GOOD "shelf,warp,1,mm,seen,D,\n",
     "t.csv:3: figure must be cup, bow, twist, range or zone: 'warp'\n"},
    {"local, whose span the table cannot say", HEADER "shelf,local,1,mm,seen,D,\n",
     "t.csv:2: figure must be cup, bow, twist, range or zone: 'local'\n"},
    {"limit with text", HEADER "shelf,cup,1.5mm,mm,seen,D,\n",
     "t.csv:2: limit must be a number above 0: '1.5mm'\n"},
    {"limit empty", HEADER "shelf,cup,,mm,seen,D,\n",
     "t.csv:2: limit must be a number above 0: ''\n"},
    {"limit negative", HEADER "shelf,cup,-1,mm,seen,D,\n",
     "t.csv:2: limit must be a number above 0: '-1'\n"},
    {"limit nan", HEADER "shelf,cup,nan,mm,seen,D,\n",
     "t.csv:2: limit must be a number above 0: 'nan'\n"},
    {"limit too large", HEADER "shelf,cup,1e400,mm,seen,D,\n",
     "t.csv:2: limit must be a number above 0: '1e400'\n"},
    {"limit hexadecimal", HEADER "shelf,cup,0x1p1,mm,seen,D,\n",
     "t.csv:2: limit must be a number above 0: '0x1p1'\n"},
    {"unit", HEADER "shelf,cup,1,cm,seen,D,\n",
     "t.csv:2: unit must be mm or in: 'cm'\n"},
    {"status", HEADER "shelf,cup,1,mm,heard,D,\n",
     "t.csv:2: unknown status: 'heard'\n"},
    {"source missing", HEADER "shelf,cup,1,mm,seen,,\n",
     "t.csv:2: the source is missing for status: 'seen'\n"},
    {"source beside common practice",
     HEADER "shelf,cup,1,mm,\"common practice, no source\",D,\n",
     "t.csv:2: common practice has no source: 'D'\n"},
    {"use empty", HEADER ",cup,1,mm,seen,D,\n",
     "t.csv:2: use must have 1 to 31 characters: ''\n"},
    {"use long", HEADER "a shelf with a name of many words,cup,1,mm,seen,D,\n",
     "t.csv:2: use must have 1 to 31 characters: 'a shelf with a name of many "
     "words'\n"},
    {"use in capitals", HEADER "Shelf,cup,1,mm,seen,D,\n",
     "t.csv:2: use must be lower-case words: 'Shelf'\n"},
    {"figure twice", HEADER GOOD GOOD,
     "t.csv:3: the use has this figure already: 'cup'\n"},
    {"cell missing", HEADER "shelf,cup,1,mm,seen,D\n",
     "t.csv:2: a row has 7 cells: 'shelf'\n"},
    {"cell too many", HEADER "shelf,cup,1,mm,seen,D,,\n",
     "t.csv:2: a row has 7 cells: 'shelf'\n"},
    {"header", "use,figure,limit,units,status,source,note\n" GOOD,
     "t.csv:1: the header must be use,figure,limit,unit,status,source,note: 'units'\n"},
    {"quote open", HEADER GOOD "shelf,bow,1,mm,seen,\"D,\n",
     "t.csv:3: the CSV is not well formed: 'error parsing data while strict checking "
     "enabled'\n"},
    {"not ASCII", HEADER "shelf,cup,1,mm,seen,\xc3\xa9,\n",
     "t.csv:2: only printable ASCII can be used here: '\xc3\xa9'\n"},
    {"empty", "", "t.csv:1: there is no band in the table: ''\n"},
};

Test(make_bands, refuses_a_bad_row_with_file_and_line_and_writes_nothing)
{
    for (size_t k = 0; k < sizeof bad / sizeof *bad; k++) {
        struct run run = run_on(bad[k].table);
        cr_expect(run.status == 1, "%s: exit %d", bad[k].name, run.status);
        cr_expect(strcmp(run.said, bad[k].said) == 0, "%s: said %s", bad[k].name,
                  run.said);
        cr_expect_str_empty(run.made, "%s", bad[k].name);
    }
}
