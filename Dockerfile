# The image of the server. It is built by the README's commands; the result is the one binary and nothing else.
#
#   docker build -t fairmeasure .
#   docker run -p 127.0.0.1:8080:8080 -v fairmeasure:/data fairmeasure
#
# Its first start prints the link that sets the server up. With the server stopped, the other commands run on its volume:
#
#   docker run --rm -v fairmeasure:/data fairmeasure accounts list
#
# The container listens on all of its own addresses, so FAIRMEASURE_PUBLIC_URL has to say what people type. As it stands
# that is this machine alone. Behind a proxy: -e FAIRMEASURE_PUBLIC_URL=https://drinks.example.org
# -e FAIRMEASURE_TRUSTED_PROXY=<the proxy's address as the container sees it>.

FROM node:20-bookworm-slim AS node

FROM golang:1.26-bookworm AS build
COPY --from=node /usr/local/bin/node /usr/local/bin/node
COPY --from=node /usr/local/lib/node_modules/npm /usr/local/lib/node_modules/npm
RUN ln -s ../lib/node_modules/npm/bin/npm-cli.js /usr/local/bin/npm \
 && ln -s ../lib/node_modules/npm/bin/npx-cli.js /usr/local/bin/npx
WORKDIR /src
COPY go.mod go.sum ./
RUN go mod download
COPY . .
RUN go generate ./...
RUN CGO_ENABLED=0 go build -trimpath -ldflags="-s -w" -o /out/fairmeasure ./cmd/fairmeasure \
 && mkdir /out/data

FROM scratch
COPY --from=build /out/fairmeasure /fairmeasure
COPY --from=build --chown=65532:65532 /out/data /data
USER 65532:65532
ENV FAIRMEASURE_DATA=/data \
    FAIRMEASURE_LISTEN=0.0.0.0:8080 \
    FAIRMEASURE_PUBLIC_URL=http://localhost:8080
VOLUME /data
EXPOSE 8080
HEALTHCHECK --interval=30s --timeout=5s --start-period=20s CMD ["/fairmeasure", "health"]
ENTRYPOINT ["/fairmeasure"]
CMD ["serve"]
