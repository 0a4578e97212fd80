/* SPDX-License-Identifier: GPL-3.0-or-later */

/* The generators of the tables of wood, run as the build runs them: BT_MAKE_SPECIES and
 * BT_MAKE_RULES on copies of reference/ in which one line is changed. */
#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

struct run {
    int status;
    char said[2000];
    char made[4000]; /* the beginning of the table, "" where none was written */
};

static void slurp(FILE *in, char *text, size_t room)
{
    size_t n = in ? fread(text, 1, room - 1, in) : 0;

    text[n] = '\0';
}

/* Copy a table; with `from`, the text of its first place is replaced. */
static void copy(const char *name, const char *from, const char *to)
{
    static char text[200000];
    char path[600];
    FILE *file;
    char *at = NULL;

    snprintf(path, sizeof path, "%s/%s", BT_REFERENCE_DIR, name);
    file = fopen(path, "rb");
    cr_assert_not_null(file, "%s", path);
    slurp(file, text, sizeof text);
    fclose(file);
    if (from) {
        at = strstr(text, from);
        cr_assert_not_null(at, "%s is not in %s", from, name);
    }
    file = fopen(name, "wb");
    cr_assert_not_null(file);
    if (at)
        cr_assert(fwrite(text, 1, (size_t)(at - text), file) == (size_t)(at - text) &&
                  fputs(to, file) >= 0 && fputs(at + strlen(from), file) >= 0);
    else
        cr_assert(fputs(text, file) >= 0);
    cr_assert(fclose(file) == 0);
}

static const char *const species_tables[] = {"shrinkage.csv", "dimensional_change.csv",
                                             "mechanical.csv", NULL};
static const char *const rule_tables[] = {"wood_rules.csv", "emc_equation.csv", NULL};

/* Run a tool in a folder of its own, which is removed again. */
static struct run run_on(const char *tool, const char *const tables[],
                         const char *changed, const char *from, const char *to)
{
    char folder[] = "/tmp/benchtrue-wood-XXXXXX", command[1000];
    struct run run;
    FILE *file;
    size_t used;

    cr_assert_not_null(mkdtemp(folder));
    cr_assert(chdir(folder) == 0);
    used = (size_t)snprintf(command, sizeof command, "'%s'", tool);
    for (size_t i = 0; tables[i]; i++) {
        bool is = changed && strcmp(tables[i], changed) == 0;
        copy(tables[i], is ? from : NULL, to);
        used +=
            (size_t)snprintf(command + used, sizeof command - used, " %s", tables[i]);
    }
    snprintf(command + used, sizeof command - used, " t.inc 2>&1");
    file = popen(command, "r");
    cr_assert_not_null(file);
    slurp(file, run.said, sizeof run.said);
    run.status = WEXITSTATUS(pclose(file));
    file = fopen("t.inc", "rb");
    slurp(file, run.made, sizeof run.made);
    if (file)
        fclose(file);
    remove("t.inc");
    for (size_t i = 0; tables[i]; i++)
        remove(tables[i]);
    cr_assert(chdir("/") == 0 && rmdir(folder) == 0, "a file was left in %s", folder);
    return run;
}

Test(make_species, joins_the_tables_into_rows_in_the_order_of_the_alphabet)
{
    struct run run = run_on(BT_MAKE_SPECIES, species_tables, NULL, NULL, NULL);
    const char *first = strstr(run.made, "\"Afrormosia\""),
               *second = strstr(run.made, "\"Albarco\"");

    cr_expect_eq(run.status, 0);
    cr_expect_str_empty(run.said);
    cr_expect(first && second && first < second);
    cr_expect_not_null(strstr(run.made, "{0.00148, \"Kokrodua (afrormosia)\""));
}

struct bad {
    const char *table, *from, *to, *said;
};

static const struct bad bad_species[] = {
    {"shrinkage.csv", "species,botanical_name", "species,botanical",
     "shrinkage.csv:1: the header must be species,botanical_name,group,"
     "shrink_radial_pct,shrink_tangential_pct,shrink_volumetric_pct,T_over_R,status,"
     "source_edition_table,url_or_place,note: 'botanical'\n"},
    {"shrinkage.csv", ",4.4,7.3,", ",4.4x,7.3,",
     "shrinkage.csv:2: must be a number above 0: '4.4x'\n"},
    {"shrinkage.csv", ",4.4,7.3,", ",4.4,-7.3,",
     "shrinkage.csv:2: must be a number above 0: '-7.3'\n"},
    {"shrinkage.csv", "seen", "heard", "shrinkage.csv:2: unknown status: 'heard'\n"},
    {"shrinkage.csv", "seen", "seenish",
     "shrinkage.csv:2: unknown status: 'seenish'\n"},
    {"shrinkage.csv", "\"FPL-GTR-190 (2010), Table 4-3, p. 4-6\"", "",
     "shrinkage.csv:2: the source is missing for status: 'seen'\n"},
    {"shrinkage.csv", "\"Ash, blue\"", "\"Ash, black\"",
     "shrinkage.csv:4: the species has a row already: 'Ash, black'\n"},
    {"shrinkage.csv", "\"Ash, blue\"", "",
     "shrinkage.csv:4: the species is missing: ''\n"},
    {"shrinkage.csv", "Afrormosia,", "Afrormosa,",
     "make_species: join.h names a row that is not there: 'Afrormosia'\n"},
    {"shrinkage.csv", "\"Ash, blue\"", "\"Oak, red\"",
     "make_species: two species of the same name: 'Oak, red'\n"},
    {"dimensional_change.csv", "0.00151", "nan",
     "dimensional_change.csv:2: must be a number above 0: 'nan'\n"},
    {"dimensional_change.csv", ",30,0.00151", ",thirty,0.00151",
     "dimensional_change.csv:2: must be a number above 0: 'thirty'\n"},
    {"mechanical.csv", "0.41", "0x1p-1",
     "mechanical.csv:2: must be a number above 0: '0x1p-1'\n"},
    {"mechanical.csv", "\"Alder, red\"",
     "\"Alder, r\xc3\xa9"
     "d\"",
     "mechanical.csv:2: only printable ASCII can be used here: 'Alder, r\xc3\xa9"
     "d'\n"},
};

static const struct bad bad_rules[] = {
    {"wood_rules.csv", "scatter of shrinkage", "scatter of leaves",
     "wood_rules.csv:2: unknown rule: 'scatter of leaves'\n"},
    {"wood_rules.csv", "scatter of shrinkage", "fibre saturation",
     "wood_rules.csv:11: the rule is there already: 'fibre saturation'\n"},
    {"wood_rules.csv", "0.15", "15 %",
     "wood_rules.csv:2: value must be a number above 0: '15 %'\n"},
    {"wood_rules.csv", "share", "",
     "wood_rules.csv:2: the unit is missing: 'scatter of shrinkage'\n"},
    {"wood_rules.csv", "from memory", "rumour",
     "wood_rules.csv:2: unknown status: 'rumour'\n"},
    {"emc_equation.csv", "degC,W", "degC,Z",
     "emc_equation.csv:6: parameter must be W, K, K1 or K2: 'Z'\n"},
    {"emc_equation.csv", "degC,K,", "degC,W,",
     "emc_equation.csv:7: the parameter is there already: 'W'\n"},
    {"emc_equation.csv", "349", "",
     "emc_equation.csv:6: a coefficient must be a number: ''\n"},
    {"emc_equation.csv", "degC,W", "degK,W",
     "emc_equation.csv:10: the parameter is missing for degC: 'W'\n"},
};

static void expect_refused(const char *tool, const char *const tables[],
                           const struct bad *bad)
{
    struct run run = run_on(tool, tables, bad->table, bad->from, bad->to);

    cr_expect_eq(run.status, 1, "%s: exit %d", bad->said, run.status);
    cr_expect_str_eq(run.said, bad->said);
    cr_expect_str_empty(run.made, "%s", bad->said);
}

Test(make_species, refuses_a_bad_row_with_file_and_line_and_writes_nothing)
{
    for (size_t i = 0; i < sizeof bad_species / sizeof *bad_species; i++)
        expect_refused(BT_MAKE_SPECIES, species_tables, &bad_species[i]);
}

Test(make_rules, refuses_a_bad_row_with_file_and_line_and_writes_nothing)
{
    for (size_t i = 0; i < sizeof bad_rules / sizeof *bad_rules; i++)
        expect_refused(BT_MAKE_RULES, rule_tables, &bad_rules[i]);
}

Test(make_rules, writes_the_rules_in_the_order_of_the_list)
{
    struct run run = run_on(BT_MAKE_RULES, rule_tables, NULL, NULL, NULL);

    cr_expect_eq(run.status, 0);
    cr_expect_str_empty(run.said);
    cr_expect_not_null(strstr(run.made, "    {\"scatter of shrinkage\", "
                                        "0.14999999999999999, \"share\", "
                                        "\"from memory\", "));
    cr_expect_not_null(strstr(run.made, "    {349, 1.29, 0.0135},\n"));
}

Test(make_rules, a_rule_that_is_left_out_is_named)
{
    struct run run = run_on(BT_MAKE_RULES, rule_tables, "wood_rules.csv",
                            "fibre saturation,30,percent,seen,\"FPL-GTR-190 (2010), p. "
                            "13-17\",\"assumed moisture content at which shrinkage "
                            "starts for most species; 22 % for a few, see "
                            "dimensional_change.csv\"\n",
                            "");

    cr_expect_eq(run.status, 1);
    cr_expect_str_eq(run.said,
                     "wood_rules.csv:15: the rule is missing: 'fibre saturation'\n");
}

Test(make_species, says_how_it_is_called_and_what_it_cannot_open_or_write)
{
    char said[300] = "";
    FILE *file = popen("'" BT_MAKE_SPECIES "' a.csv 2>&1", "r");

    slurp(file, said, sizeof said);
    cr_expect_eq(WEXITSTATUS(pclose(file)), 2);
    cr_expect_str_eq(said, "usage: make_species shrinkage.csv dimensional_change.csv "
                           "mechanical.csv OUT.inc\n");
    file = popen("'" BT_MAKE_RULES "' /none/a.csv /none/b.csv /none/c 2>&1", "r");
    slurp(file, said, sizeof said);
    cr_expect_eq(WEXITSTATUS(pclose(file)), 1);
    cr_expect_str_eq(said, "/none/a.csv: cannot be opened\n");
    file = popen("'" BT_MAKE_RULES "' '" BT_REFERENCE_DIR "/wood_rules.csv' "
                 "'" BT_REFERENCE_DIR "/emc_equation.csv' /none/c 2>&1",
                 "r");
    slurp(file, said, sizeof said);
    cr_expect_eq(WEXITSTATUS(pclose(file)), 1);
    cr_expect_str_eq(said, "/none/c: cannot be written\n");
}
