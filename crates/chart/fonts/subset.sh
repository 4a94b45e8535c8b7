#!/bin/sh
# Makes the six committed font files from the static web files of Inter 4.1
# (Inter-Regular.woff2, Inter-Italic.woff2, Inter-SemiBold.woff2).
#
#   sh subset.sh FOLDER_WITH_THE_THREE_FILES
#
# Needs the Python packages fonttools 4.68 and brotli (`pyftsubset` on the PATH).
# The TTF files (wide: Latin, Latin Extended, Greek, arrows, maths) are drawn by
# resvg and measured by the chart crate; the WOFF2 files (narrow: what the pages
# write) are sent to browsers. Contextual alternates are left out on purpose: they
# would turn "->" typed by a keeper into another character.
set -eu
from=$1
here=$(dirname "$0")

wide="U+0020-007E,U+00A0-024F,U+0259,U+02BB-02DD,U+0300-0304,U+0306-030C,U+0327,U+0328,\
U+0370-03FF,U+1E00-1EFF,U+2000-200D,U+2010-2027,U+202F,U+2030,U+2032,U+2033,U+2039,U+203A,\
U+2044,U+2070-208E,U+20AC,U+2113,U+2116,U+2122,U+2126,U+2150-215E,U+2190-2199,U+21E0-21E9,\
U+2200-22FF,U+25A0-25FF,U+2713,U+2717"
narrow="U+0020-007E,U+00A0-017F,U+0218-021B,U+0394,U+03A3,U+03B1,U+03B2,U+03BB,U+03BC,\
U+03C3,U+03C4,U+2009,U+2010-2014,U+2018-201A,U+201C-201E,U+2022,U+2026,U+202F,U+2030,U+2032,\
U+2033,U+2070,U+2074-207B,U+2080-2089,U+20AC,U+2122,U+2190-2193,U+2212,U+2248,U+2260,U+2264,\
U+2265"

for face in Regular Italic SemiBold; do
    source="$from/Inter-$face.woff2"
    pyftsubset "$source" --unicodes="$wide" --layout-features=kern,mark,mkmk,ccmp,locl,tnum \
        --flavor=none --no-hinting --name-IDs='0,1,2,3,4,5,6,13,14,16,17' \
        --output-file="$here/Inter-$face.ttf"
    pyftsubset "$source" --unicodes="$narrow" --layout-features=kern,ccmp,tnum \
        --no-hinting --name-IDs='0,1,2,3,4,5,6,13,14,16,17' --flavor=woff2 \
        --output-file="$here/Inter-$face.woff2"
done
