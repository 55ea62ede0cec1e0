"""`python -m judgekit` is the `judgekit` command."""

from judgekit.cli.main import run

if __name__ == "__main__":
    run()
