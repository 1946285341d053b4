using System.Text;
using Evenwater.Core.Stations;
using Evenwater.Photographs;
using Microsoft.AspNetCore.Http.Features;
using Microsoft.AspNetCore.WebUtilities;
using Microsoft.Net.Http.Headers;

namespace Evenwater.Page.Journal;

/// <summary>
/// A form whose photograph is larger than is taken: its fields are read as ever, the photograph is counted and let go, so that the form can be shown again with what was typed
/// and the refusal by its field. What was sent is read to its end, since a browser shows no answer before; where that would be too much, nothing of it is read.
/// </summary>
/// <param name="Bytes">How large the photograph is.</param>
internal sealed record TooLargePhotograph(long Bytes)
{
    /// <summary>A form larger than this is not read, bytes. Our own choice: a telephone's 200 million pixels are some 50 MB as JPEG (from memory).</summary>
    public const long MostBytes = 64 * 1024 * 1024;

    private const int MostFields = 64;

    /// <summary>Why it is not taken.</summary>
    public Problem Refusal => Developed.TooLarge(Bytes).Refusal!.Value;

    /// <summary>Reads such a form in place of the framework; leaves every other request alone. What it does not understand stays unread, and is refused as too large.</summary>
    /// <exception cref="InvalidDataException">It is no form of ours.</exception>
    public static async Task ReadAsync(HttpContext http)
    {
        if (http.GetEndpoint()?.Metadata.Contains(PhotographUpload.Limit) != true || http.Request.ContentLength is not { } length || length <= PhotographUpload.Limit.MaxRequestBodySize || length > MostBytes
            || http.Features.Get<IHttpMaxRequestBodySizeFeature>() is not { IsReadOnly: false } size
            || !MediaTypeHeaderValue.TryParse(http.Request.ContentType, out var kind) || HeaderUtilities.RemoveQuotes(kind.Boundary).Value is not { Length: > 0 and <= 70 } boundary)
        {
            return;
        }

        size.MaxRequestBodySize = MostBytes;
        var (fields, photograph, left) = (new Dictionary<string, Microsoft.Extensions.Primitives.StringValues>(StringComparer.OrdinalIgnoreCase), 0L, PhotographUpload.FormBytes);
        var reader = new MultipartReader(boundary, http.Request.Body);
        while (await reader.ReadNextSectionAsync(http.RequestAborted) is { } section)
        {
            if (section.AsFileSection() is not null)
            {
                photograph += await CountAsync(section.Body, http.RequestAborted);
            }
            else if (section.AsFormDataSection() is { } field)
            {
                var text = new byte[left + 1];
                var read = await section.Body.ReadAtLeastAsync(text, text.Length, throwOnEndOfStream: false, http.RequestAborted);
                if (read > left || fields.Count == MostFields) throw new InvalidDataException("The form has more beside its photograph than a form of this page can have.");
                left -= read;
                fields[field.Name] = Encoding.UTF8.GetString(text, 0, read);
            }
        }

        http.Features.Set<IFormFeature>(new FormFeature(new FormCollection(fields)));
        http.Features.Set(new TooLargePhotograph(photograph));
    }

    private static async Task<long> CountAsync(Stream body, CancellationToken stop)
    {
        var (buffer, count) = (new byte[16 * 1024], 0L);
        while (await body.ReadAsync(buffer, stop) is > 0 and var read) count += read;
        return count;
    }
}
