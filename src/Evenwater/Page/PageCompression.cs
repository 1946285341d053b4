using System.IO.Compression;
using System.Net.Mime;
using Microsoft.AspNetCore.ResponseCompression;

namespace Evenwater.Page;

/// <summary>
/// What is text goes packed over the wire, br or gzip as the browser asks, also over TLS. What a page holds of secrets is under another mask in each answer, or good once, so
/// that the length of a packed answer tells nothing of it (the attack that is called BREACH). Streams of events are never packed: they would wait for more.
/// </summary>
internal static class PageCompression
{
    public static IServiceCollection AddPageCompression(this IServiceCollection services) => services
        .Configure<BrotliCompressionProviderOptions>(o => o.Level = CompressionLevel.Fastest)
        .Configure<GzipCompressionProviderOptions>(o => o.Level = CompressionLevel.Fastest)
        .AddResponseCompression(o =>
        {
            o.EnableForHttps = true;
            o.Providers.Add<BrotliCompressionProvider>();
            o.Providers.Add<GzipCompressionProvider>();
            o.MimeTypes =
            [
                MediaTypeNames.Text.Html, MediaTypeNames.Text.Css, MediaTypeNames.Text.JavaScript, MediaTypeNames.Image.Svg,
                MediaTypeNames.Application.Json, MediaTypeNames.Application.ProblemJson,
            ];
        });
}
