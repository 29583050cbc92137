"""The entrance for a web server."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "drawndose.department.settings")
application = get_wsgi_application()
