/* All of it or, where memory ran out, none. */
#include "print_json.h"

#include <stdio.h>
#include <stdlib.h>

#include "command.h"
#include "complain.h"

int print_json(json *j) {
    if (!j->text.failed) fwrite(j->text.at, 1, j->text.size, stdout);
    int code = j->text.failed ? complain_memory() : EXIT_FINE;
    free(j->text.at);
    *j = (json){0};
    return code;
}
