using System.IO.Compression;
using System.Net;

namespace Evenwater.Tests.Servers;

/// <summary>A store that answers as it is told: what no real server can be brought to say at will.</summary>
internal sealed class Answering : IDisposable
{
    private readonly HttpListener _listener = new();
    private readonly List<string> _stored = [];
    private readonly List<TimeSpan> _askedAt = [];
    private readonly long _start = TimeProvider.System.GetTimestamp();
    private readonly Task _loop;

    /// <param name="judge">The status for these lines, and what is said; 204 stores them.</param>
    public Answering(Func<IReadOnlyList<string>, HttpListenerResponse, (int Status, string Says)> judge)
    {
        Url = $"http://127.0.0.1:{ServerProcess.FreePort()}";
        _listener.Prefixes.Add(Url + "/");
        _listener.Start();
        _loop = AnswerAsync(judge);
    }

    public string Url { get; }

    /// <summary>The entries it has, by number, in order and once for each distinct line.</summary>
    public List<long> Stored
    {
        get
        {
            lock (_stored)
            {
                return [.. _stored.Distinct().Select(EntryOf).Order()];
            }
        }
    }

    /// <summary>When it was asked, from its start.</summary>
    public List<TimeSpan> AskedAt
    {
        get
        {
            lock (_stored)
            {
                return [.. _askedAt];
            }
        }
    }

    public static long EntryOf(string line)
    {
        var from = line.IndexOf("entry=", StringComparison.Ordinal) + "entry=".Length;
        return long.Parse(line[from..line.IndexOf('i', from)], System.Globalization.CultureInfo.InvariantCulture);
    }

    public void Dispose()
    {
        _listener.Close();
        _loop.Wait(TimeSpan.FromSeconds(10));
    }

    private async Task AnswerAsync(Func<IReadOnlyList<string>, HttpListenerResponse, (int Status, string Says)> judge)
    {
        while (_listener.IsListening)
        {
            HttpListenerContext asked;
            try
            {
                asked = await _listener.GetContextAsync();
            }
            catch (Exception e) when (e is HttpListenerException or ObjectDisposedException)
            {
                return;
            }

            await using var plain = asked.Request.Headers["Content-Encoding"] == "gzip" ? new GZipStream(asked.Request.InputStream, CompressionMode.Decompress) : asked.Request.InputStream;
            using var reader = new StreamReader(plain);
            var lines = (await reader.ReadToEndAsync()).Split('\n', StringSplitOptions.RemoveEmptyEntries);
            var (status, says) = judge(lines, asked.Response);
            lock (_stored)
            {
                _askedAt.Add(TimeProvider.System.GetElapsedTime(_start));
                _stored.AddRange(status == 204 ? lines : []);
            }

            asked.Response.StatusCode = status;
            if (says.Length > 0)
            {
                await asked.Response.OutputStream.WriteAsync(System.Text.Encoding.UTF8.GetBytes(says));
            }

            asked.Response.Close();
        }
    }
}
