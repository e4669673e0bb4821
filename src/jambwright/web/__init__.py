"""The browser: pages and an HTTP interface over the store and the calculations. A thin door: it decides nothing.

On site a phone takes readings with or without signal; at the desk the house is planned and its papers
are taken out. Served to this machine alone unless it is shared on purpose.
"""

from jambwright.web.app import create_app

__all__ = ["create_app"]
