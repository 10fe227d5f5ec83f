# SPDX-License-Identifier: GPL-3.0-or-later
# The Debian 12 packages of this project, sourced by app/run and tests/run.
BUILD_PACKAGES="g++ cmake ninja-build pkg-config ccache libeigen3-dev nlohmann-json3-dev libcli11-dev libfmt-dev \
libexpected-dev libcgal-dev libspectra-dev libceres-dev libdxflib-dev libqcustomplot-dev qt6-base-dev qt6-svg-dev qt6-tools-dev qt6-l10n-tools libgl-dev fontconfig \
fonts-dejavu-core fonts-open-sans"
TEST_PACKAGES="catch2 libboost-dev librapidcheck-dev libbenchmark-dev python3-scipy libngspice0-dev admesh openscad poppler-utils desktop-file-utils xvfb \
clang-19 libclang-rt-19-dev clang-tidy-19 clang-format-19"

# Installs those of the given packages that are missing; does nothing, and needs no rights, when all are there.
install_missing() {
    local missing="" name
    for name in "$@"; do
        dpkg-query -W -f='${Status}' "$name" 2>/dev/null | grep -q 'install ok installed' || missing="$missing $name"
    done
    [ -z "$missing" ] && return 0
    echo "Installing:$missing"
    local sudo=""
    if [ "$(id -u)" -ne 0 ]; then
        command -v sudo >/dev/null || { echo "Not installed: sudo is missing; as root: apt-get install$missing" >&2; return 1; }
        sudo=sudo
    fi
    $sudo apt-get update -q
    $sudo env DEBIAN_FRONTEND=noninteractive apt-get install -y -q --no-install-recommends $missing
}
