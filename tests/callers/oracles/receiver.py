"""Takes documents, each checked with the library of the Standard Webhooks specification: 204, or 401 where
the signature does not hold. The secret stands on the command line; the port is printed first."""

import json
import sys
from http.server import BaseHTTPRequestHandler, HTTPServer

from standardwebhooks import Webhook, WebhookVerificationError

webhook = Webhook(sys.argv[1])


class Receiver(BaseHTTPRequestHandler):
    def do_POST(self):
        body = self.rfile.read(int(self.headers["content-length"]))
        try:
            webhook.verify(body.decode(), {name.lower(): value for name, value in self.headers.items()})
            self.send_response(204)
        except json.JSONDecodeError:
            # The library reads the document once its signature holds; one in another format is none of JSON.
            self.send_response(204)
        except WebhookVerificationError:
            self.send_response(401)
        self.end_headers()

    def log_message(self, *said):
        pass


server = HTTPServer(("127.0.0.1", 0), Receiver)
print(server.server_port, flush=True)
server.serve_forever()
