#!/bin/bash
# Writes the module map of core's C header. The one that the generator writes asks for a module that
# only Apple's systems have.
#   module-map.sh DIR [no-link]
set -euo pipefail
link='link "coldlug_phone" '
[ "${2:-}" = no-link ] && link=
printf 'module coldlug_phoneFFI { header "coldlug_phoneFFI.h" %sexport * }\n' "$link" > "$1/module.modulemap"
