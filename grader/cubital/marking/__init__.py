"""What the educator's steps share: a hand-in's notebook put in order again, errors in words."""

from cubital.marking.loading import without_formats, without_servers

without_formats()
without_servers()
