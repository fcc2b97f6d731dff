/* lengthwise explain: what a warning, a plan field or a word means. A word may be all three, and then each is
 * told. */
#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "command.h"
#include "complain.h"
#include "lengthwise.h"
#include "plan.h"
#include "text.h"
#include "words.h"

enum { KNOWN_MAX = 600 };

static void paragraph(const char *s) {
    printf("  ");
    wrapped(s, 2, 2);
}

/* The same letters, taking dashes, underscores and spaces for one another. */
static bool alike(const char *a, const char *b, size_t length) {
    for (size_t i = 0; i < length; i++) {
        char x = (char)tolower((unsigned char)a[i]), y = (char)tolower((unsigned char)b[i]);
        if (x == '-' || x == '_') x = ' ';
        if (y == '-' || y == '_') y = ' ';
        if (x != y) return false;
    }
    return true;
}

static bool names(const entry *e, const char *what) {
    size_t length = strlen(what);
    if (strlen(e->word) == length && alike(e->word, what, length)) return true;
    for (const char *also = e->also; *also; also += strspn(also, "|")) {
        size_t n = strcspn(also, "|");
        if (n == length && alike(also, what, n)) return true;
        also += n;
    }
    return false;
}

static int print_entries(const entry *list, const char *kind, const char *what, int before) {
    int found = 0;
    for (const entry *e = list; e->word; e++) {
        if (!names(e, what)) continue;
        printf("%s%s (%s)\n", before + found > 0 ? "\n" : "", e->word, kind);
        paragraph(e->meaning);
        printf("\n  For example:\n");
        paragraph(e->example);
        found++;
    }
    return found;
}

static int print_field(const char *what, int before) {
    char *told;
    lw_error error;
    lw_status status = plan_explain(&told, what, &error);
    if (status == LW_ERROR_MEMORY) return complain_memory(), -1;
    if (status) return 0;
    printf("%sIn a plan file:\n\n%s", before > 0 ? "\n" : "", told);
    free(told);
    return 1;
}

static int unknown(const char *what) {
    const char *known[KNOWN_MAX];
    int n = 0;
    plan_field field;
    for (const entry *e = words; e->word && n < KNOWN_MAX; e++) known[n++] = e->word;
    for (const entry *e = warnings; e->word && n < KNOWN_MAX; e++) known[n++] = e->word;
    for (int i = 0; plan_field_at(i, &field) && n < KNOWN_MAX; i++) known[n++] = field.key;
    const char *nearest = nearest_word(what, known, n);
    if (nearest)
        return complain(EXIT_INPUT, NULL, "\"%s\" is not known; the nearest is \"%s\"", what, nearest);
    return complain(
        EXIT_INPUT,
        "lengthwise explain alone lists all words and warnings; lengthwise schema has the fields.",
        "\"%s\" is not known", what);
}

static void list(const char *title, const entry *entries) {
    printf("%s\n", title);
    int used = 0;
    for (const entry *e = entries; e->word; e++) {
        int n = (int)strlen(e->word) + (e[1].word ? 1 : 0);
        if (used > 0 && used + 1 + n > SCREEN) {
            putchar('\n');
            used = 0;
        }
        used += printf("%s%s%s", used ? " " : "  ", e->word, e[1].word ? "," : "");
    }
    putchar('\n');
}

static int list_all(void) {
    list("Words:", words);
    list("\nWarnings:", warnings);
    puts("\nEvery field of a plan file is explained too, such as \"lengthwise explain elevation\".");
    return EXIT_FINE;
}

static int run(const arguments *args) {
    char what[256] = "";
    size_t used = 0;
    if (args->operand_count == 0) return list_all();
    for (int i = 0; i < args->operand_count; i++) {
        int n = snprintf(what + used, sizeof what - used, "%s%s", i ? " " : "", args->operand[i]);
        if (n < 0 || used + (size_t)n >= sizeof what)
            return complain(EXIT_INPUT, NULL, "that is too long to be one word");
        used += (size_t)n;
    }
    int found = print_entries(words, "word", what, 0);
    found += print_entries(warnings, "warning", what, found);
    int field = print_field(what, found);
    if (field < 0) return EXIT_MACHINE;
    return found + field > 0 ? EXIT_FINE : unknown(what);
}

extern const command command_explain;
const command command_explain = {
    .name = "explain",
    .summary = "Explains a warning, a field of the plan file or a word of the trade, with an example.",
    .operands = "[CODE | FIELD | WORD]",
    .operands_most = OPERANDS_MAX,
    .about =
        (const char *const[]){"Words with spaces need no quotes. Without any it lists what it knows.", NULL},
    .examples = (const char *const[]){"lengthwise explain over-direction", "Explains a word.",
                                      "lengthwise explain out of reach", "Explains a warning.",
                                      "lengthwise explain steps.hold.elevation",
                                      "Explains a field of the plan file.", NULL},
    .run = run,
};
