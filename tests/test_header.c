/* The public header as a stranger meets it: included alone, under warnings stricter than our own, in C17 and
 * (through test_header.cpp) in C++, and linked with nothing but the shared library. */
#include "lengthwise.h"

#include <stdio.h>
#include <string.h>

static int wrong(const char *what) {
    (void)fprintf(stderr, "%s\n", what);
    return 1;
}

int main(void) {
    if (strcmp(LW_VERSION, LW_PROJECT_VERSION) != 0)
        return wrong("the header's version is not the project's");
    int failures = 0;
    for (int i = 0; i < (int)LW_LANDMARK_COUNT; i++) {
        const char *name = lw_landmark_name((lw_landmark)i);
        if (name[0] == '\0' || lw_landmark_find(name) != i)
            failures += wrong("a landmark's name does not find it");
        int mirror = i <= (int)LW_NAPE_CENTRE ? i : i ^ 1;
        if ((int)lw_landmark_mirror((lw_landmark)i) != mirror)
            failures += wrong("a landmark's mirror is wrong");
    }
    if (lw_landmark_find("elbow") != -1) failures += wrong("a name that is no landmark was found");

    lw_head *head = NULL;
    lw_error error;
    lw_head_options options = lw_head_default();
    options.measure[LW_CIRCUMFERENCE] = -1;
    if (lw_head_new(&head, &options, &error) == LW_OK || head != NULL || error.message[0] == '\0')
        failures += wrong("a head of negative circumference was made");
    lw_head_free(NULL);
    return failures != 0;
}
