package sunward.watch.page;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import io.vertx.core.buffer.Buffer;
import io.vertx.ext.web.RoutingContext;
import java.util.Map;

/** How the page's server answers. */
final class Answers {
    private static final ObjectMapper JSON = new ObjectMapper();

    private Answers() {}

    static void json(RoutingContext request, int status, Object value) {
        try {
            bytes(request, status, "application/json; charset=utf-8", JSON.writeValueAsBytes(value));
        } catch (JsonProcessingException e) {
            throw new IllegalStateException("views are plain maps, lists, texts and numbers", e);
        }
    }

    static void fail(RoutingContext request, int status, String sentence) {
        json(request, status, Map.of("sentence", sentence));
    }

    // An answer to a client that has gone ends in Vert.x's own handling of the connection.
    @SuppressWarnings("FutureReturnValueIgnored")
    static void bytes(RoutingContext request, int status, String type, byte[] bytes) {
        if (request.response().ended() || request.response().closed()) {
            return;
        }
        request.response().setStatusCode(status).putHeader("Content-Type", type).end(Buffer.buffer(bytes));
    }
}
