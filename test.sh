#!/usr/bin/env bash
# Installs what the tests need and runs all of them. Used by people and by continuous integration.
set -euo pipefail
cd "$(dirname "$0")"

say() { printf '\n== %s ==\n' "$1"; }

if ! command -v chromedriver >/dev/null || ! command -v chromium >/dev/null; then
  say "installing chromium and its driver for the browser tests"
  if command -v apt-get >/dev/null; then
    sudo=""; [ "$(id -u)" -eq 0 ] || sudo="sudo"
    $sudo apt-get update -qq
    $sudo env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq chromium chromium-driver >/dev/null
  else
    echo "Please install chromium and chromedriver, then run this again." >&2
    exit 1
  fi
fi

say "formatting";   cargo fmt --all --check
say "lints";        cargo clippy --workspace --all-targets -- -D warnings
say "house rules";  cargo run -q -p xtask -- all
say "tests";        cargo test --workspace --all-targets
say "doc tests";    cargo test --workspace --doc
