/* CSV (RFC 4180, but with line feeds): one row a hair, in metres, exact to the bit: 17 significant digits
 * name one double. */
#include "hairs.h"

#include <string.h>

#include "files.h"

/* Quoted where commas, quotes or line ends would be taken for the table's own. */
static void csv_text(FILE *to, const char *s) {
    if (!strpbrk(s, ",\"\r\n")) {
        fputs(s, to);
        return;
    }
    fputc('"', to);
    for (; *s; s++) {
        if (*s == '"') fputc('"', to);
        fputc(*s, to);
    }
    fputc('"', to);
}

static void hair(FILE *to, const prediction *p, int i) {
    lw_vec3 r = lw_scalp_root(p->scalp, i), n = lw_scalp_normal(p->scalp, i);
    fprintf(to, "%d,%.17g,%.17g,%.17g,%.17g,%.17g,%.17g,", i, r.x, r.y, r.z, n.x, n.y, n.z);
    int section = lw_cut_sections(p->cut)[i], panel = lw_cut_set_by(p->cut)[i];
    if (section >= 0) csv_text(to, lw_cut_section(p->cut, section)->name);
    if (panel >= 0)
        fprintf(to, ",%d,%d,", lw_cut_panel(p->cut, panel)->step, lw_cut_panel(p->cut, panel)->panel);
    else
        fputs(",,,", to);
    fprintf(to, "%.17g\n", lw_cut_lengths(p->cut)[i]);
}

int hairs_write(const prediction *p, const char *path) {
    output out;
    int code = output_open(&out, path);
    if (code) return code;
    fputs("hair,x,y,z,nx,ny,nz,section,step,panel,length\n", out.stream);
    int count = lw_scalp_count(p->scalp);
    for (int i = 0; i < count && !ferror(out.stream); i++) hair(out.stream, p, i);
    return output_finish(&out);
}
