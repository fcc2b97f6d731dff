/* The OpenAPI 3.1 document of the routes. */
#ifndef LW_SERVE_OPENAPI_H
#define LW_SERVE_OPENAPI_H

#include "put.h"

void openapi_put(json *j);

#endif
