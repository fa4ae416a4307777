"""``scrieve completion``: a script by which a shell completes commands, options and their words."""

from __future__ import annotations

from argparse import Action, ArgumentParser
from collections.abc import Iterator
from dataclasses import dataclass

from patterns.cli.commands import COMMANDS

PAPERS = ("letter", "A4", "A3", "tabloid")  # those a home printer takes
_FOLDERS, _FILES = ("BOAT", "DIR"), ("FILE",)  # words that mean a path in help


@dataclass(frozen=True, slots=True)
class Option:
    """An option, or a word that stands by its place."""

    flags: tuple[str, ...]  # empty for a word that stands by its place
    help: str
    takes: str  # "" for nothing, "folder", "file", "word", or anything else
    words: tuple[str, ...]  # those it may be


def write_completion(shell: str) -> None:
    """Print the script for a shell."""
    scripts = {"bash": _bash, "zsh": _zsh, "fish": _fish}
    print("\n".join(scripts[shell]()))


def options_of(name: str) -> tuple[Option, ...]:
    """All that may follow a command."""
    parser = ArgumentParser(prog=name)
    next(command for command in COMMANDS if command.name == name).options(parser)
    return tuple(map(_option, parser._actions))


def _option(action: Action) -> Option:
    words = tuple(map(str, action.choices or ())) or (PAPERS if action.dest == "paper" else ())
    return Option(tuple(action.option_strings), action.help or "", _takes(action), words)


def _takes(action: Action) -> str:
    if action.nargs == 0:
        return ""
    metavar = str(action.metavar)
    return "folder" if metavar in _FOLDERS else "file" if metavar in _FILES else "word"


# --- bash ---


def _bash() -> Iterator[str]:
    names = " ".join(command.name for command in COMMANDS)
    yield "# Completion of scrieve for bash."
    yield "_scrieve() {"
    yield '    local now="${COMP_WORDS[COMP_CWORD]}" before="${COMP_WORDS[COMP_CWORD-1]}" command="${COMP_WORDS[1]}"'
    yield "    COMPREPLY=()"
    yield '    if [ "$COMP_CWORD" -eq 1 ]; then'
    yield f'        COMPREPLY=($(compgen -W "{names} --help --version" -- "$now"))'
    yield "        return"
    yield "    fi"
    yield '    case "$command $before" in'
    for command in COMMANDS:
        for option in options_of(command.name):
            for flag in option.flags if option.takes else ():
                yield f'        "{command.name} {flag}") {_bash_words(option)}; return ;;'
    yield "    esac"
    yield '    case "$command" in'
    for command in COMMANDS:
        options = options_of(command.name)
        flags = " ".join(flag for option in options for flag in option.flags)
        placed = next((option for option in options if not option.flags), None)
        yield f"        {command.name})"
        yield f'            case "$now" in -*) COMPREPLY=($(compgen -W "{flags}" -- "$now")) ;;'
        yield f"            *) {_bash_words(placed) if placed else ':'} ;; esac ;;"
    yield "    esac"
    yield "}"
    yield "complete -F _scrieve scrieve"


def _bash_words(option: Option) -> str:
    if option.words:
        return f'COMPREPLY=($(compgen -W "{" ".join(option.words)}" -- "$now"))'
    if option.takes not in ("folder", "file"):
        return ":"
    # Names with blanks stay whole, and folders get their slash.
    kind = "d" if option.takes == "folder" else "f"
    return f"compopt -o filenames 2>/dev/null; local IFS=$'\\n'; COMPREPLY=($(compgen -{kind} -- \"$now\"))"


# --- zsh ---


def _zsh() -> Iterator[str]:
    yield "#compdef scrieve"
    yield "_scrieve() {"
    yield "    local -a commands"
    yield f"    commands=({' '.join(_quoted(f'{command.name}:{command.help}') for command in COMMANDS)})"
    yield "    if (( CURRENT == 2 )); then"
    yield "        _describe command commands"
    yield "        return"
    yield "    fi"
    yield "    local command=$words[2]"
    yield "    shift words; (( CURRENT-- ))"
    yield "    case $command in"
    for command in COMMANDS:
        said = " ".join(_zsh_option(option) for option in options_of(command.name))
        yield f"        {command.name}) _arguments {said} ;;"
    yield "    esac"
    yield "}"
    yield 'if [ "$funcstack[1]" = "_scrieve" ]; then _scrieve "$@"; else compdef _scrieve scrieve; fi'


def _zsh_option(option: Option) -> str:
    plain = option.help.replace("[", "(").replace("]", ")").replace(":", ",").replace("%", "%%")
    action = {"folder": "_directories", "file": "_files"}.get(option.takes, f"({' '.join(option.words)})")
    if not option.flags:
        return _quoted(f"1:{plain}:{action}")
    value = f":{option.takes}:{action if option.words or option.takes != 'word' else ' '}" if option.takes else ""
    return " ".join(_quoted(f"{flag}[{plain}]{value}") for flag in option.flags)


# --- fish ---


def _fish() -> Iterator[str]:
    yield "# Completion of scrieve for fish."
    yield "complete -c scrieve -f"
    yield "complete -c scrieve -n __fish_use_subcommand -l version -d 'say which version it is'"
    for command in COMMANDS:
        yield f"complete -c scrieve -n __fish_use_subcommand -a {command.name} -d {_quoted(command.help)}"
    for command in COMMANDS:
        for option in options_of(command.name):
            yield f"complete -c scrieve -n '__fish_seen_subcommand_from {command.name}' {_fish_option(option)}"


def _fish_option(option: Option) -> str:
    names = [f"-{'l' if flag.startswith('--') else 's'} {flag.lstrip('-')}" for flag in option.flags]
    paths = {"folder": ["-a '(__fish_complete_directories)'"], "file": ["-F"]}.get(option.takes, [])
    words = [f"-a {_quoted(' '.join(option.words))}"] if option.words else paths
    takes = ["-r"] if option.takes and option.flags else []
    return " ".join((*names, *takes, *words, f"-d {_quoted(option.help)}"))


def _quoted(text: str) -> str:
    """A word for any of the three shells."""
    return "'" + text.replace("'", "'\\''") + "'"
